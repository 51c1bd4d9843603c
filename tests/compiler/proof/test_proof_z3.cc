// The proof against z3: on generated policies, what the proof finds of each property, kind by kind, is what z3 finds in
// formulas made from the policy's trees; and the players it names are players z3 and the naive evaluator agree on.
//
// LACESTAY_WHOLE takes three times as many policies, but for those that multiply: z3 is slow at them. The policies are
// split over tags so that ctest can run parts side by side.
#include <catch2/catch.hpp>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <iostream>

#include "compiler/proof/proof.hpp"
#include "runtime/chart/findings.hpp"
#include "tests/compiler/proof/claims.hpp"
#include "tests/compiler/proof/mixed.hpp"
#include "tests/compiler/proof/z3_judge.hpp"
#include "tests/compiler/proof/z3_shelf.hpp"
#include "tests/reference/generate/generator.hpp"
#include "tests/reference/generate/generator_nobody.hpp"
#include "tests/reference/generate/generator_shelf.hpp"
#include "tests/reference/players.hpp"
#include "tests/reference/shelf.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using compiler::Finding;
using judges::Judge;
using judges::Model;
using judges::Steps;
using Kind = Finding::Kind;
using judges::Verdict;

const char* name_of(Kind kind) {
  switch (kind) {
    case Kind::gap: return "gap";
    case Kind::two_answers: return "two answers";
    case Kind::past_range: return "past the range";
    case Kind::safety_base_moved: return "safety rule's answer moved";
    case Kind::floor_over_cap: return "floor over cap";
    case Kind::band_emptied: return "band emptied";
    case Kind::need_and_omit: return "need and omit";
    case Kind::two_lines: return "two accept lines";
    case Kind::sure_broken: return "make sure broken";
    default: return "other";
  }
}

struct Tally {
  std::size_t of_items = 0, by_items = 0, stages = 0;  // claims on what is handed over; broken by an item; its stage
  std::size_t with_nobody = 0, of_nobody = 0;          // policies with lines on who cannot be; those that leave nobody
  std::size_t policies = 0, not_settled = 0, rows = 0, most_rows = 0, most_details = 0, worked_out = 0;
  std::size_t properties = 0, proven = 0, refused = 0, asked = 0, unknown = 0, relaxed = 0, witnesses = 0,
              left_some = 0, left_none = 0, multiplied = 0;
  std::map<std::string, std::size_t> found, none;  // by kind, agreed with z3
  double proving = 0, judging = 0;
};

double seconds() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

// One generated policy before both judges.
class Trial {
 public:
  Trial(std::uint64_t seed, naive::Generated generated, Tally& tally) : tally_(tally), seed_(seed) {
    for (const auto& file : generated.files) text_ += file.name + ":\n" + file.text;
    files_ = generated.files;
    naive_ = naive::prepare(generated.files);
    const auto compiled = tests::compile_files(generated.files);
    refusal_ = render(compiled.diagnostics);
    policy_ = compiled.policy;
  }

  void keep(const std::filesystem::path& folder) const {
    for (const auto& file : files_) {
      std::filesystem::create_directories((folder / file.name).parent_path());
      std::ofstream(folder / file.name) << file.text;
    }
  }
  [[nodiscard]] const std::string& text() const { return text_; }
  [[nodiscard]] const std::string& refusal() const { return refusal_; }
  [[nodiscard]] bool compiles() const { return policy_ != nullptr; }

  // Somebody can be: else the proof says that and nothing more, and there is nothing to compare.
  [[nodiscard]] bool has_somebody() {
    if (naive_.nobody.empty()) return true;
    Judge judge(naive_);
    const auto verdict = judge.ask([](Model& player) { return player.terms().yes(true); });
    const auto proof = compiler::prove(*policy_);
    const bool none = proof.refused() && proof.findings.front().kind == Kind::nobody_left;
    REQUIRE((verdict == Verdict::unknown || none == (verdict == Verdict::none)));
    ++(none ? tally_.of_nobody : tally_.with_nobody);
    return !none;
  }

  [[nodiscard]] std::size_t rows() const {
    std::size_t rows = 0;
    for (const auto& voice : naive_.voices) rows += voice.chart ? voice.chart->rows.size() : 1;
    for (const auto& detail : naive_.details) rows += detail.chart ? detail.chart->rows.size() : 0;
    return rows;
  }

  // Claims on what is handed over, and nothing else.
  void run_claims_on_items() {
    proof_ = compiler::prove(*policy_);
    judge_ = std::make_unique<Judge>(naive_);
    judge_claims([](const grammar::MakeSure& sure) { return judges::bounds_items(sure); });
  }

  void run() {
    const auto began = seconds();
    proof_ = compiler::prove(*policy_);
    tally_.proving += seconds() - began;
    judge_ = std::make_unique<Judge>(naive_);
    ++tally_.policies;
    tally_.rows += rows();
    tally_.most_rows = std::max(tally_.most_rows, rows());
    tally_.most_details = std::max(tally_.most_details, judge_->asked().size());
    if (judge_->asked().size() < naive_.details.size()) ++tally_.worked_out;
    const auto judging = seconds();
    bool unsettled = false;
    for (const auto& finding : proof_.findings) unsettled = unsettled || finding.kind == Kind::not_settled;
    if (unsettled) ++tally_.not_settled;
    if (unsettled && tests::loud()) std::cerr << "seed " << seed_ << " not settled\n";
    for (std::size_t piece = 0; piece < naive_.pieces.size(); ++piece) {
      judge_piece(piece);
      for (std::size_t i = 0; i < naive_.pieces[piece].properties.size(); ++i) judge_property(piece, i);
    }
    judge_claims([](const grammar::MakeSure&) { return true; });
    tally_.relaxed += judge_->relaxed();
    if (judge_->multiplied()) ++tally_.multiplied;
    told();
    tally_.judging += seconds() - judging;
  }

 private:
  [[nodiscard]] compiler::TableId table_of(std::size_t piece, std::optional<std::size_t> property) const {
    const auto& name = naive_.pieces[piece].name;
    for (std::size_t i = 0; i < policy_->pieces.size(); ++i) {
      const auto& text = policy_->pieces[i];
      if (text.name != name) continue;
      if (!property) return static_cast<compiler::TableId>(policy_->tables.piece_table(i));
      const auto at = text.first_property + *property;
      REQUIRE(policy_->properties[at].name == naive_.pieces[piece].properties[*property].name);
      return static_cast<compiler::TableId>(policy_->tables.property_table(at));
    }
    FAIL("the compiler lost the piece " << name);
    return 0;
  }

  [[nodiscard]] std::vector<const Finding*> findings(compiler::TableId table, Kind kind) const {
    std::vector<const Finding*> of_kind;
    for (const auto& finding : proof_.findings)
      if (finding.table == table && finding.kind == kind) of_kind.push_back(&finding);
    return of_kind;
  }
  [[nodiscard]] bool refused(compiler::TableId table) const {
    return std::any_of(proof_.findings.begin(), proof_.findings.end(), [&](const Finding& finding) {
      return finding.table == table && finding.refuses() && finding.kind != Kind::sure_broken &&
             finding.kind != Kind::no_pair && finding.kind != Kind::two_lines;
    });
  }

  [[nodiscard]] Steps steps(const compiler::Readings& readings) const {
    return judges::steps_of(judge_->asked(), *policy_, readings);
  }
  [[nodiscard]] naive::PieceOutcome outcome(std::size_t piece, const Steps& player) const {
    return naive::evaluate(naive_, judges::player_of(judge_->asked(), player)).pieces.at(naive_.pieces[piece].name);
  }

  // Found by the proof where z3 finds it, and nowhere else. False where it is not found.
  bool same(compiler::TableId table, Kind kind, bool found, Verdict verdict) {
    ++tally_.asked;
    if (verdict == Verdict::unknown) {
      ++tally_.unknown;
      return found;
    }
    if (!found && !findings(table, Kind::not_settled).empty()) {
      ++(verdict == Verdict::some ? tally_.left_some : tally_.left_none);
      return false;
    }
    INFO(name_of(kind) << " in table " << table << ": the proof " << (found ? "finds one" : "finds none") << ", z3 "
                       << (verdict == Verdict::some ? "finds one" : "finds none"));
    REQUIRE(found == (verdict == Verdict::some));
    ++(found ? tally_.found : tally_.none)[name_of(kind)];
    return found;
  }

  void judge_kind(compiler::TableId table, Kind kind, const Judge::Question& question,
                  const std::function<bool(const Steps&)>& naive_too) {
    const auto all = findings(table, kind);
    if (!same(table, kind, !all.empty(), judge_->ask(question))) return;
    for (const auto* finding : all) {
      REQUIRE(finding->players.size() == 1);
      INFO(name_of(kind) << " in table " << table << ": " << judges::written(*policy_, finding->players.front()));
      const auto player = steps(finding->players.front());
      REQUIRE(judge_->holds(question, player));
      REQUIRE(naive_too(player));
      ++tally_.witnesses;
    }
  }

  void judge_piece(std::size_t piece) {
    judge_kind(
        table_of(piece, std::nullopt), Kind::need_and_omit,
        [=](Model& player) { return player.piece(piece).need_omit; },
        [=, this](const Steps& player) { return outcome(piece, player).standing == naive::Standing::clash; });
    judge_kind(
        table_of(piece, std::nullopt), Kind::two_lines, [=](Model& player) { return judges::two_lines(player, piece); },
        [=, this](const Steps& player) {
          const naive::Shelf shelf(naive_);
          return shelf.two_lines(piece, shelf.fitted(judges::player_of(judge_->asked(), player)));
        });
  }

  void judge_property(std::size_t piece, std::size_t index) {
    const auto table = table_of(piece, index);
    const auto& name = naive_.pieces[piece].properties[index].name;
    const auto told = [=, this, &name](const Steps& player) {
      const auto properties = outcome(piece, player).properties;
      const auto found = properties.find(name);
      return found == properties.end() ? naive::PropertyOutcome::Kind::answer : found->second.kind;
    };
    using Told = naive::PropertyOutcome::Kind;
    for (const auto kind : {Kind::gap, Kind::past_range})
      judge_kind(
          table, kind,
          [=](Model& player) {
            const auto& says = player.property(piece, index);
            return kind == Kind::gap ? says.gap : says.past_range;
          },
          [&](const Steps& player) { return told(player) == Told::gap; });
    for (const auto kind : {Kind::two_answers, Kind::safety_base_moved, Kind::floor_over_cap, Kind::band_emptied})
      judge_kind(
          table, kind,
          [=](Model& player) {
            const auto& says = player.property(piece, index);
            return kind == Kind::two_answers         ? says.two_answers
                   : kind == Kind::safety_base_moved ? says.safety_moved
                   : kind == Kind::floor_over_cap    ? says.floor_over_cap
                                                     : says.band_emptied;
          },
          [&](const Steps& player) { return told(player) == Told::clash; });
    ++tally_.properties;
    ++(refused(table) ? tally_.refused : tally_.proven);
  }

  template <typename Which>
  void judge_claims(Which which) {
    for (const auto& item : naive_.files.front().items) {
      const auto* sure = std::get_if<grammar::MakeSure>(&item.form);
      if (!sure || !which(*sure)) continue;
      INFO(item.head.text());
      const auto subject = judges::subject_of(naive_, *sure);
      const auto table = table_of(subject.piece, subject.property);
      if (subject.property && refused(table)) continue;  // with gaps and clashes there is no one answer to make sure of
      const Finding* found = nullptr;
      for (const auto& finding : proof_.findings)
        if (finding.kind == Kind::sure_broken && policy_->sures[finding.sure].span.begin == item.head.begin)
          found = &finding;
      if (const auto along = judges::moves_along(naive_, judge_->asked(), *sure)) {
        const auto question = [=](Model& earlier, Model& later) { return judges::broken(*sure, earlier, later); };
        if (!same(table, Kind::sure_broken, found != nullptr, judge_->ask(question, *along))) continue;
        REQUIRE(found->players.size() == 2);
        const auto earlier = steps(found->players[0]), later = steps(found->players[1]);
        INFO(judges::written(*policy_, found->players[0]) << "; then " << judges::written(*policy_, found->players[1]));
        REQUIRE(judge_->holds(question, *along, earlier, later));
        REQUIRE(moves(*sure, subject, earlier, later));
      } else {
        const bool of_items = judges::bounds_items(*sure);
        if (of_items) ++tally_.of_items;
        const auto question = [=](Model& player) {
          const auto advice = judges::broken(*sure, player);
          return of_items ? advice || judges::broken_by_items(*sure, player) : advice;
        };
        if (!same(table, Kind::sure_broken, found != nullptr, judge_->ask(question))) continue;
        REQUIRE(found->players.size() == 1);
        INFO(judges::written(*policy_, found->players[0]));
        REQUIRE(judge_->holds(shown(*sure, subject, *found), steps(found->players[0])));
      }
      ++tally_.witnesses;
    }
  }

  // What a finding shows of its one player: that the advice breaks the claim, or an item of this step at this stage.
  [[nodiscard]] Judge::Question shown(const grammar::MakeSure& sure, const judges::Subject& subject,
                                      const Finding& found) {
    if (!found.item) return [&sure](Model& player) { return judges::broken(sure, player); };
    const auto stages = judges::shelf_stages(naive_, subject.piece);
    REQUIRE(found.item->stage < stages.size());
    ++tally_.by_items;
    if (found.item->stage > 0) ++tally_.stages;
    return [&sure, stage = stages[found.item->stage], step = found.item->step](Model& player) {
      return judges::broken_by(sure, player, stage, step);
    };
  }

  // What the naive evaluator says of the two: the answer falls (or rises) at one end at least.
  [[nodiscard]] bool moves(const grammar::MakeSure& sure, const judges::Subject& subject, const Steps& earlier,
                           const Steps& later) const {
    const auto& name = naive_.pieces[subject.piece].properties[*subject.property].name;
    const auto before = outcome(subject.piece, earlier).properties.at(name),
               after = outcome(subject.piece, later).properties.at(name);
    if (!before.answer || !after.answer) return false;
    return sure.kind == grammar::MakeSure::Kind::never_falls
               ? before.answer->low > after.answer->low || before.answer->high > after.answer->high
               : before.answer->low < after.answer->low || before.answer->high < after.answer->high;
  }

  // Every finding can be told: the engine shows what is said of each player, or this throws.
  void told() const {
    const auto engine = runtime::Engine::build(policy_);
    if (engine) REQUIRE(runtime::told(**engine, proof_).size() == proof_.findings.size());
  }

  Tally& tally_;
  std::uint64_t seed_;
  std::vector<naive::TextFile> files_;
  std::string text_, refusal_;
  naive::Policy naive_;
  std::shared_ptr<const compiler::Policy> policy_;
  compiler::Proof proof_;
  std::unique_ptr<Judge> judge_;
};

// Every other one says who cannot be.
naive::Generated any_policy(std::uint64_t seed) {
  naive::Settings settings;
  settings.most_details = 1 + seed % 6;
  settings.most_worked_out = seed % 5;
  settings.most_pieces = 1 + seed / 6 % 6;
  auto generated = naive::generate(seed, settings);
  if (seed % 2 == 0) generated.files.front().text += "\n" + naive::nobody_for(naive::prepare(generated.files), seed);
  return generated;
}

// What is claimed is drawn from what the policy answers.
naive::Generated with_claims(std::uint64_t seed, naive::Generated generated) {
  generated.files.front().text += "\n" + judges::claims_for(naive::prepare(generated.files), seed);
  return generated;
}

naive::Generated claimed_policy(std::uint64_t seed) { return with_claims(seed, any_policy(seed)); }
naive::Generated claimed_mix(std::uint64_t seed) { return with_claims(seed, judges::mixed_policy(seed)); }

naive::Generated with_shelf(std::uint64_t seed) {
  auto generated = any_policy(seed);
  auto& own = generated.files.front().text;
  own += "\n" + naive::shelf_for(naive::prepare(generated.files), seed);
  own += "\n" + naive::shelf_claims_for(naive::prepare(generated.files), seed);
  return generated;
}

using tests::whole;
using Generator = std::function<naive::Generated(std::uint64_t seed)>;

Tally run(const Generator& generate, std::uint64_t first, std::uint64_t count) {
  Tally tally;
  std::size_t refused = 0, too_long = 0;
  const bool loud = tests::loud();
  const tests::Seeds seeds(first, count);
  for (const auto seed : seeds) {
    Trial trial(seed, generate(seed), tally);
    INFO("seed " << seed << "\n" << trial.text() << trial.refusal());
    if (const auto folder = tests::keep_in(); !folder.empty()) trial.keep(folder);
    if (!trial.compiles()) {
      ++refused;
      if (loud) std::cerr << "seed " << seed << " does not compile\n" << trial.refusal();
      continue;
    }
    if (trial.rows() > 60) {
      ++too_long;
      continue;
    }
    if (!trial.has_somebody()) continue;
    const auto began = seconds();
    if (loud) {
      try {
        trial.run();
      } catch (const std::exception& error) {
        std::cerr << "seed " << seed << ": " << error.what() << "\n";
        if (tests::one_seed()) throw;
      } catch (...) {
        std::cerr << "seed " << seed << ": differs\n";
        if (tests::one_seed()) throw;
      }
      if (seconds() - began > 1) std::cerr << "seed " << seed << ": " << seconds() - began << " s\n";
    } else {
      trial.run();
    }
  }
  std::cout << seeds.told() << ": " << tally.policies << " policies compared (" << refused << " do not compile, "
            << too_long << " have more than 60 rows), " << tally.rows << " rows in all, at most " << tally.most_rows
            << " rows and " << tally.most_details << " asked details, " << tally.worked_out
            << " with worked-out details (" << tally.multiplied << " multiply one measure by another)\n"
            << tally.with_nobody << " of them say who cannot be; " << tally.of_nobody << " more leave nobody\n"
            << tally.properties << " properties: " << tally.proven << " with neither gap nor clash, " << tally.refused
            << " refused; " << tally.witnesses << " players tried\n"
            << tally.of_items << " claims on what is handed over; " << tally.by_items << " broken by an item, "
            << tally.stages << " of them past the accept line\n";
  for (const auto kind : {Kind::gap, Kind::past_range, Kind::two_answers, Kind::safety_base_moved, Kind::floor_over_cap,
                          Kind::band_emptied, Kind::need_and_omit, Kind::two_lines, Kind::sure_broken})
    std::cout << "  " << name_of(kind) << ": " << tally.found[name_of(kind)] << " found, " << tally.none[name_of(kind)]
              << " proved not to be\n";
  std::cout << "not settled by the proof: " << tally.not_settled << " policies (" << tally.left_some
            << " questions where z3 finds a player, " << tally.left_none
            << " where it finds none); not settled by z3: " << tally.unknown << " of " << tally.asked << " questions ("
            << tally.relaxed << " needed a second try)\n"
            << "proving took " << tally.proving << " s, judging " << tally.judging << " s\n";
  CHECK(refused * 50 <= seeds.count());
  CHECK(tally.not_settled * 50 <= tally.policies);
  CHECK(tally.unknown * 100 <= tally.asked);
  return tally;
}

TEST_CASE("z3 and the proof agree on generated policies, first half", "[first]") {
  run(claimed_policy, 1, whole() ? 3150 : 1050);
}
TEST_CASE("z3 and the proof agree on generated policies, second half", "[second]") {
  run(claimed_policy, 100'001, whole() ? 3150 : 1050);
}

TEST_CASE("z3 and the proof agree where measures are multiplied and divided", "[mixed]") { run(claimed_mix, 1, 200); }

TEST_CASE("z3 and the proof agree on what may be handed over", "[shelf]") {
  const auto tally = run(with_shelf, 200'001, whole() ? 2000 : 400);
  if (tests::one_seed()) return;
  // Of every kind something was compared: proved, refuted by the advice, by an item, by one past the accept line.
  CHECK(tally.of_items * 2 > tally.policies);
  CHECK(tally.by_items * 20 > tally.of_items);
  CHECK(tally.stages * 20 > tally.by_items);
}

TEST_CASE("z3 and the proof agree on what the shipped policy lets be handed over", "[shelf]") {
  naive::Generated shipped;
  const auto policy = tests::shipped_policy("northgate.fitting");
  for (const auto& source : policy->sources) shipped.files.push_back({source->name(), std::string(source->text())});
  Tally tally;
  Trial trial(0, shipped, tally);
  INFO(trial.refusal());
  REQUIRE(trial.compiles());
  trial.run_claims_on_items();
  std::cout << "shipped: " << tally.of_items << " claims on what is handed over, " << tally.found["make sure broken"]
            << " broken; " << tally.unknown << " not settled by z3\n";
  CHECK(tally.of_items >= 20);
  CHECK(tally.unknown == 0);
}

}  // namespace
