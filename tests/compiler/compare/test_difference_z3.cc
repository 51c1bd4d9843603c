// The difference against z3: on pairs of editions with measures, days and worked-out details, nobody gets another
// answer whom the statements leave out, and whoever is in a statement gets another answer, the one it says.
//
// Both editions are formulas over one set of unknowns, made from the policies' trees; so is what the statements say,
// over the shared columns. LACESTAY_WHOLE takes four times as many pairs, but for those that multiply.
#include <catch2/catch.hpp>
#include <chrono>
#include <iostream>

#include "tests/compiler/compare/pairs.hpp"
#include "tests/compiler/compare/shared_players.hpp"
#include "tests/compiler/proof/mixed.hpp"
#include "tests/compiler/proof/z3_judge.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using compiler::both_sides;
using compiler::Box;
using compiler::Outcome;
using compiler::Standing;
using judges::Claim;
using judges::EditionPair;
using judges::Model;
using judges::OfSides;
using judges::SharedAnswer;
using judges::SharedPlayers;
using judges::Side;
using judges::Verdict;

struct Tally {
  std::size_t pairs = 0, no_pair = 0, too_long = 0, apart = 0, worked_out = 0, answers = 0, changed = 0, statements = 0,
              players = 0, asked = 0, unknown = 0, relaxed = 0, not_settled = 0;
  double comparing = 0, judging = 0;
};

double seconds() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

// Both editions as formulas of one shared player, and the shared columns beside them.
class Encoding {
 public:
  Encoding(z3::context& context, const SharedPlayers& players, const compiler::Difference& difference, bool relaxed)
      : context_(context), players_(players), difference_(difference), relaxed_(relaxed) {
    domain_ = std::make_unique<z3::expr>(context.bool_val(true));
    for (const auto& detail : players.details()) {
      // A detail of one name may be two, one of each edition.
      const auto name = detail.range.name + (detail.in.earlier ? "" : " later") + (detail.in.later ? "" : " earlier");
      unknowns_.push_back(relaxed ? context.real_const(name.c_str()) : context.int_const(name.c_str()));
      const auto& step = unknowns_.back();
      *domain_ = *domain_ && step >= 0 && step < number(detail.range.last + 1);
    }
    for (const auto side : both_sides)
      models_[side] = std::make_unique<Model>(context, players.policy(side), players.asked(side), own(side), relaxed);
    for (const auto side : both_sides) *domain_ = *domain_ && models_[side]->can_be();
    const auto places = players.places(difference);
    detail_of_.resize(places.size());
    for (std::size_t i = 0; i < places.size(); ++i) detail_of_[places[i]] = i;
  }

  [[nodiscard]] Model& model(Side side) { return *models_[side]; }
  [[nodiscard]] const z3::expr& domain() const { return *domain_; }
  [[nodiscard]] const std::vector<z3::expr>& unknowns() const { return unknowns_; }

  [[nodiscard]] z3::expr any(const std::vector<z3::expr>& of) const {
    z3::expr_vector all(context_);
    for (const auto& one : of) all.push_back(one);
    return z3::mk_or(all);
  }

  // Who is in one of the boxes over the shared columns.
  [[nodiscard]] z3::expr inside(const std::vector<Box>& boxes) {
    std::vector<z3::expr> each;
    for (const auto& box : boxes) {
      auto all = context_.bool_val(true);
      for (const auto& cell : box) {
        std::vector<z3::expr> ranges;
        for (const auto& range : cell.places) ranges.push_back(inside(cell.column, range));
        all = all && any(ranges);
      }
      each.push_back(all);
    }
    return any(each);
  }

 private:
  [[nodiscard]] z3::expr number(std::int64_t value) const {
    return relaxed_ ? context_.real_val(value) : context_.int_val(value);
  }

  // An edition's own steps of the details it asks.
  [[nodiscard]] std::vector<z3::expr> own(Side side) const {
    std::vector<z3::expr> steps(players_.asked(side).size(), context_.int_val(0));
    for (std::size_t i = 0; i < unknowns_.size(); ++i) {
      const auto& detail = players_.details()[i];
      if (!detail.in[side] || detail.range.last < 0) continue;
      const auto first = players_.own_step(side, i, 0);
      auto& step = steps[*detail.in[side]];
      if (detail.range.members.empty()) {
        const auto apart = detail.range.last > 0 ? players_.own_step(side, i, 1) - first : 1;
        step = number(apart) * unknowns_[i] + number(first);
        continue;
      }
      step = number(first);
      for (std::int64_t k = 1; k <= detail.range.last; ++k)
        step = z3::ite(unknowns_[i] >= number(k), number(players_.own_step(side, i, k)), step);
    }
    return steps;
  }

  z3::expr inside(compiler::ColumnId id, const compiler::PlaceRange& range) {
    const auto& column = difference_.space.tables.columns[id];
    auto held = context_.bool_val(true);
    if (!column.worked_out && difference_.space.tables.asked[column.detail].members) {
      std::vector<z3::expr> members;
      for (auto place = range.first; place <= range.last; ++place) members.push_back(is_member(column.detail, place));
      return any(members);
    }
    if (range.first > 0) held = held && reaches(id, column.cuts[range.first - 1]);
    if (range.last < column.cuts.size()) held = held && !reaches(id, column.cuts[range.last]);
    return held;
  }

  z3::expr is_member(std::size_t detail, std::uint32_t place) {
    const auto i = detail_of_[detail];
    const auto& members = players_.details()[i].range.members;
    const auto& name = difference_.space.details[detail].scale.members[place];
    const auto at = std::find(members.begin(), members.end(), name) - members.begin();
    return unknowns_[i] >= number(at) && unknowns_[i] < number(at + 1);
  }

  // At or past an edge, which the compiler gives in its ticks.
  z3::expr reaches(compiler::ColumnId id, const compiler::Cut& cut) {
    const auto& column = difference_.space.tables.columns[id];
    if (!column.worked_out) {
      const auto i = detail_of_[column.detail];
      const auto& range = players_.details()[i].range;
      return unknowns_[i] >= number(((naive::Rational(cut.at) / range.compiled - range.low) / range.tick).ceiling());
    }
    const auto& text = difference_.space.worked_out[column.detail];
    const auto one = text.scale.has_members() ? 1 : ticks_to_one(text.scale.dimension);
    const auto edge = naive::Rational(cut.at) / one;
    for (const auto side : both_sides) {
      const auto& details = players_.policy(side).details;
      auto name = text.name;
      if (const std::string suffix = side == Side::earlier ? " (before)" : " (now)"; name.ends_with(suffix))
        name.resize(name.size() - suffix.size());
      for (std::size_t i = 0; i < details.size(); ++i)
        if (details[i].name == name && !details[i].ask)
          return cut.after ? model(side).terms().over(i, edge) : model(side).terms().at_least(i, edge);
    }
    throw std::logic_error("no edition works out " + text.name);
  }

  static std::int64_t ticks_to_one(compiler::Dimension dimension) {
    using Naive = naive::Dimension;
    switch (dimension) {
      case compiler::Dimension::length: return judges::ticks_to_one(Naive::length);
      case compiler::Dimension::weight: return judges::ticks_to_one(Naive::weight);
      case compiler::Dimension::age: return judges::ticks_to_one(Naive::age);
      case compiler::Dimension::flex: return judges::ticks_to_one(Naive::flex);
      case compiler::Dimension::money: return judges::ticks_to_one(Naive::money);
      case compiler::Dimension::number: return judges::ticks_to_one(Naive::number);
      case compiler::Dimension::day: return 1;
    }
    throw std::logic_error("a dimension without a tick");
  }

  z3::context& context_;
  const SharedPlayers& players_;
  const compiler::Difference& difference_;
  bool relaxed_;
  std::vector<z3::expr> unknowns_;  // by shared detail: its step
  std::unique_ptr<z3::expr> domain_;
  OfSides<std::unique_ptr<Model>> models_;
  std::vector<std::size_t> detail_of_;  // by detail of the difference's space: the shared one
};

// One answer of both editions as formulas: what each says, and whether that is the same.
class AnswerTerms {
 public:
  AnswerTerms(const SharedAnswer& answer, Encoding& encoding) : answer_(answer), encoding_(encoding) {
    std::map<std::string, std::int64_t> numbers;
    for (const auto side : both_sides)
      for (const auto& text : answer.meaning[side])
        means_[side].push_back(numbers.emplace(text, static_cast<std::int64_t>(numbers.size())).first->second);
  }

  z3::expr differs() {
    const auto told = [&](Side side, Standing standing) { return stands(side, standing); };
    const auto unlike_steps = [&](const z3::expr& a, const z3::expr& b) {
      return meaning(Side::earlier, a) != meaning(Side::later, b);
    };
    std::vector<z3::expr> alike;
    for (const auto standing : standings()) {
      auto both = told(Side::earlier, standing) && told(Side::later, standing);
      if (answer_.kind == SharedAnswer::Kind::property) {
        const auto &a = property(Side::earlier), &b = property(Side::later);
        if (standing == Standing::answered) both = both && !unlike_steps(a.low, b.low) && !unlike_steps(a.high, b.high);
        if (standing == Standing::referred)
          both = both && !unlike_steps(a.least, b.least) && !unlike_steps(a.most, b.most);
      }
      alike.push_back(both);
    }
    return compared() && !encoding_.any(alike);
  }

  // The edition says just this.
  z3::expr says(Side side, const Outcome& outcome) {
    auto says = stands(side, outcome.standing);
    if (answer_.kind != SharedAnswer::Kind::property) return says;
    const auto& own = property(side);
    if (outcome.standing == Standing::answered)
      says = says && own.low == step(outcome.low) && own.high == step(outcome.high);
    if (outcome.standing == Standing::referred)
      says = says && own.least == step(outcome.low) && own.most == step(outcome.high);
    return says;
  }

  // Of a property: the player has its piece under both editions.
  z3::expr compared() {
    if (answer_.kind != SharedAnswer::Kind::property) return truth(true);
    return piece(Side::earlier).present && piece(Side::later).present;
  }

 private:
  [[nodiscard]] z3::expr truth(bool value) { return encoding_.domain().ctx().bool_val(value); }
  [[nodiscard]] z3::expr step(std::int64_t at) { return encoding_.domain().ctx().int_val(at); }
  const judges::OfPiece& piece(Side side) { return encoding_.model(side).piece(*answer_.piece[side]); }
  const judges::OfProperty& property(Side side) {
    return encoding_.model(side).property(*answer_.piece[side], answer_.property[side]);
  }

  [[nodiscard]] std::vector<Standing> standings() const {
    switch (answer_.kind) {
      case SharedAnswer::Kind::property:
        return {Standing::answered, Standing::referred, Standing::gap, Standing::clash};
      case SharedAnswer::Kind::piece:
        return {Standing::needed, Standing::suggested, Standing::left_out, Standing::not_in_kit, Standing::clash};
      case SharedAnswer::Kind::caution: return {Standing::spoken, Standing::silent};
    }
    return {};
  }

  z3::expr stands(Side side, Standing standing) {
    if (answer_.kind == SharedAnswer::Kind::caution) {
      const auto speaks = answer_.voice[side] ? encoding_.model(side).caution(*answer_.voice[side]) : truth(false);
      return standing == Standing::spoken ? speaks : !speaks;
    }
    if (answer_.kind == SharedAnswer::Kind::piece) {
      if (!answer_.piece[side]) return truth(standing == Standing::not_in_kit);
      const auto& own = piece(side);
      switch (standing) {
        case Standing::needed: return own.needed;
        case Standing::suggested: return own.present && !own.needed;
        case Standing::left_out: return own.left_out;
        case Standing::clash: return own.need_omit;
        default: return !own.present && !own.left_out && !own.need_omit;
      }
    }
    const auto& own = property(side);
    switch (standing) {
      case Standing::answered: return own.answered;
      case Standing::referred: return own.referred;
      case Standing::gap: return own.gap || own.past_range;
      default: return own.two_answers || own.safety_moved || own.floor_over_cap || own.band_emptied;
    }
  }

  // A number for what a step means, in both editions; below 0, where there is no step, it stays.
  z3::expr meaning(Side side, const z3::expr& at) {
    if (means_.earlier == means_.later) return at;
    auto means = step(-1);
    for (std::size_t i = 0; i < means_[side].size(); ++i)
      means = z3::ite(at == step(static_cast<std::int64_t>(i)), step(means_[side][i]), means);
    // Of a choice that is left open, what each of the members means.
    constexpr std::size_t most_members = 6;
    const auto count = means_[side].size() <= most_members ? means_[side].size() : 0;
    for (std::int64_t bits = 1; bits < std::int64_t{1} << count; ++bits) {
      auto meant = naive::open_from;
      for (std::size_t i = 0; i < count; ++i)
        if ((bits >> i & 1) != 0) meant += std::int64_t{1} << means_[side][i];
      means = z3::ite(at == step(naive::open_from + bits), step(meant), means);
    }
    return means;
  }

  const SharedAnswer& answer_;
  Encoding& encoding_;
  OfSides<std::vector<std::int64_t>> means_;
};

class Trial : public judges::PairTrial {
 public:
  Trial(const EditionPair& pair, Tally& tally) : PairTrial(pair), tally_(tally) {}

  [[nodiscard]] std::size_t rows() const {
    std::size_t rows = 0;
    for (const auto* policy : {&earlier_, &later_}) {
      for (const auto& voice : policy->voices) rows += voice.chart ? voice.chart->rows.size() : 1;
      for (const auto& detail : policy->details) rows += detail.chart ? detail.chart->rows.size() : 0;
    }
    return rows;
  }

  void run() {
    ++tally_.pairs;
    const auto began = seconds();
    difference_ = compiler::differences(*pair_.editions.earlier.policy, *pair_.editions.later.policy);
    const auto judging = seconds();
    tally_.comparing += judging - began;
    REQUIRE(difference_.editions->apart() == players_.apart());
    if (players_.apart()) {
      ++tally_.apart;
      return;
    }
    if (!difference_.space.worked_out.empty()) ++tally_.worked_out;
    exact_ = std::make_unique<Encoding>(context_, players_, difference_, false);
    for (const auto& answer : difference_.same) ask(answer, {});
    for (const auto& change : difference_.changes) {
      if (!change.settled || change.left_out > 0) {
        ++tally_.not_settled;
        continue;
      }
      ++tally_.changed;
      tally_.statements += change.statements.size();
      ask(change.answer, change.statements);
    }
    tally_.judging += seconds() - judging;
  }

 private:
  using Statements = std::vector<compiler::Statement>;

  void ask(const compiler::MatchedAnswer& matched, const Statements& statements) {
    ++tally_.answers;
    const auto name = judges::name_of(difference_, matched);
    const auto& answer = answers_.at(name);
    INFO(name);
    INFO("somebody whom no statement means gets another answer");
    none([&](Encoding& encoding) {
      std::vector<z3::expr> told;
      for (const auto& statement : statements) told.push_back(meant(statement, encoding));
      return AnswerTerms(answer, encoding).differs() && !encoding.any(told);
    });
    for (const auto& statement : statements) {
      INFO("somebody in a statement does not get the answers it says");
      none([&](Encoding& encoding) {
        std::vector<z3::expr> right, wrong;
        for (const auto& becomes : statement.becomes) {
          const auto there = encoding.inside(becomes.where);
          right.push_back(there);
          wrong.push_back(there && !true_of(becomes, answer, encoding));
        }
        return meant(statement, encoding) && (!encoding.any(right) || encoding.any(wrong));
      });
      for (const auto& becomes : statement.becomes) {
        INFO("the player of a statement is one");
        REQUIRE(judges::said(answer, Side::earlier, becomes.before) !=
                judges::said(answer, Side::later, becomes.after));
        const auto claim = meant(statement, *exact_) && exact_->inside(becomes.where) &&
                           true_of(becomes, answer, *exact_) && AnswerTerms(answer, *exact_).differs();
        REQUIRE(judges::true_at({claim && exact_->domain(), exact_->unknowns()},
                                players_.steps(difference_, becomes.player)));
        ++tally_.players;
      }
    }
  }

  static z3::expr meant(const compiler::Statement& statement, Encoding& encoding) {
    return encoding.inside({statement.who}) && !encoding.inside(statement.but_not);
  }
  static z3::expr true_of(const compiler::Becomes& becomes, const SharedAnswer& answer, Encoding& encoding) {
    AnswerTerms terms(answer, encoding);
    return terms.compared() && terms.says(Side::earlier, becomes.before) && terms.says(Side::later, becomes.after);
  }

  // z3 finds nobody.
  void none(const std::function<z3::expr(Encoding&)>& question) {
    ++tally_.asked;
    const auto claim = [&](Encoding& encoding) {
      return Claim{question(encoding) && encoding.domain(), encoding.unknowns()};
    };
    const auto loose = [&] {
      if (!loose_) loose_ = std::make_unique<Encoding>(context_, players_, difference_, true);
      return claim(*loose_);
    };
    try {
      const auto verdict = judges::settle(claim(*exact_), loose, tally_.relaxed);
      if (verdict == Verdict::unknown) ++tally_.unknown;
      REQUIRE(verdict != Verdict::some);
    } catch (const judges::NotEncoded&) {
      ++tally_.unknown;
    }
  }

  Tally& tally_;
  z3::context context_;
  std::unique_ptr<Encoding> exact_, loose_;
};

naive::Generated any_policy(std::uint64_t seed, std::optional<std::uint64_t> kit_seed) {
  naive::Settings settings;
  settings.most_details = 1 + seed % 6;
  settings.most_worked_out = seed % 4;
  settings.most_pieces = 1 + seed / 6 % 4;
  settings.kit_seed = kit_seed;
  settings.sheets = false;  // edits are made where the trees' spans point
  return naive::generate(seed, settings);
}

naive::Generated mixed_policy(std::uint64_t seed, std::optional<std::uint64_t> kit_seed) {
  return judges::mixed_policy(kit_seed.value_or(seed));
}

void run(const judges::Generator& generate, std::uint64_t first, std::uint64_t pairs) {
  const tests::Seeds seeds(first, pairs);
  Tally tally;
  tally.no_pair = judges::each_pair(seeds, generate, false, [&](std::uint64_t seed, const EditionPair& pair) {
    Trial trial(pair, tally);
    if (trial.rows() > 120) {
      ++tally.too_long;
      return;
    }
    const auto began = seconds();
    trial.run();
    if (tests::loud() && seconds() - began > 1) std::cerr << "seed " << seed << ": " << seconds() - began << " s\n";
  });
  std::cout << seeds.told() << ": " << tally.pairs << " pairs (" << tally.no_pair << " seeds give none, "
            << tally.too_long << " have more than 120 rows, " << tally.apart << " share no player), "
            << tally.worked_out << " with worked-out details; " << tally.answers << " answers, " << tally.changed
            << " of them changed, in " << tally.statements << " statements with " << tally.players << " players\n"
            << "not settled by the difference: " << tally.not_settled
            << " answers; not settled by z3: " << tally.unknown << " of " << tally.asked << " questions ("
            << tally.relaxed << " needed a second try)\n"
            << "comparing took " << tally.comparing << " s, judging " << tally.judging << " s\n";
  CHECK(tally.no_pair * 20 <= seeds.count());
  CHECK(tally.not_settled * 50 <= tally.answers + tally.not_settled);
  CHECK(tally.unknown * 50 <= tally.asked);
}

std::uint64_t many(std::uint64_t pairs) { return tests::whole() ? pairs * 4 : pairs; }

TEST_CASE("z3 finds nobody whom the statements leave out or take in wrongly, first half", "[first]") {
  run(any_policy, 1, many(1200));
}
TEST_CASE("z3 finds nobody whom the statements leave out or take in wrongly, second half", "[second]") {
  run(any_policy, 200'001, many(1200));
}
TEST_CASE("nor where measures are multiplied and divided", "[mixed]") { run(mixed_policy, 1, 150); }

}  // namespace
