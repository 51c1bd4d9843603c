#include "runtime/rehearse/slip_run.hpp"

#include <algorithm>
#include <atomic>
#include <mutex>
#include <thread>
#include <tuple>

#include "compiler/proof/memory.hpp"
#include "compiler/shelf/stages.hpp"
#include "compiler/space/reach.hpp"
#include "runtime/compare/matched_outcome.hpp"

namespace lacestay::runtime {

using compiler::Readings;
using compiler::Side;
using compiler::ValueRange;
using Fate = SlipResult::Fate;

namespace {

// A piece that a rule leaves out and one that nothing asks for are both not in the kit: no player leaves otherwise.
bool leaves_otherwise(const compiler::MatchedAnswer& answer, const Outcome& was, const Outcome& is) {
  const auto out = [](const Outcome& outcome) {
    return outcome.standing == Standing::left_out || outcome.standing == Standing::not_in_kit;
  };
  return !answer.same(was, is) && !(out(was) && out(is));
}

// What is asked of an item for a piece, line by line; where nothing is accepted for it, nothing is.
auto asked(const compiler::Policy& policy, std::size_t piece) {
  std::vector<std::tuple<int, std::uint32_t, std::uint32_t, std::uint32_t, int, std::int64_t, std::int64_t>> all;
  for (const auto& accepts : policy.shop.accepts[piece]) {
    all.emplace_back(0, 0u, 0u, 0u, 0, -1, -1);  // a line begins
    for (const auto& need : accepts.requirements)
      all.emplace_back(static_cast<int>(need.kind), need.property, need.once_cut_to.value_or(need.property),
                       need.member, need.column, need.least, need.most);
    for (const auto& line : accepts.instead)
      all.emplace_back(-1 - static_cast<int>(line.kind), line.property, 0u, 0u, line.steps, 0, 0);
  }
  return all;
}
// Whom the lines of a piece are for, each edge by its value.
auto for_whom(const compiler::Policy& policy, std::size_t piece) {
  std::vector<std::string> all;
  for (const auto& accepts : policy.shop.accepts[piece]) {
    auto& whom = all.emplace_back();
    for (const auto& box : compiler::players_of(policy.tables, accepts.players)) {
      whom += "+";
      for (const auto& cell : box)
        whom += policy.name_of(cell.column) + " " + policy.write_places(cell.column, cell.places) + ";";
    }
  }
  return all;
}
// By row of the piece's properties: it binds items.
std::vector<bool> binding(const compiler::Policy& policy, std::size_t piece) {
  std::vector<bool> all;
  for (std::size_t i = 0; i < policy.properties.size(); ++i)
    if (policy.properties[i].piece == piece)
      for (const auto& row : policy.tables.tables[policy.tables.property_table(i)].rows) all.push_back(row.binds);
  return all;
}

// Which pieces go together.
auto links(const compiler::Policy& policy) {
  std::vector<std::pair<std::uint32_t, std::uint32_t>> all;
  for (const auto& link : policy.shop.links) all.emplace_back(link.piece, link.partner);
  return all;
}

// Of two policies with the same answers: whether items are held to the same for each.
bool same_on_the_shelf(const compiler::Policy& a, const compiler::Policy& b) {
  if (links(a) != links(b)) return false;
  for (std::size_t piece = 0; piece < a.pieces.size(); ++piece) {
    if (asked(a, piece) != asked(b, piece) || for_whom(a, piece) != for_whom(b, piece)) return false;
    if (a.shop.accepts[piece].empty()) continue;
    if (a.shop.protection[piece] != b.shop.protection[piece] || binding(a, piece) != binding(b, piece)) return false;
  }
  return true;
}

class Running {
 public:
  Running(const Engine& engine, const std::vector<SamplePlayer>& players, const SlipShelf* shelf)
      : engine_(engine), players_(players), shelf_(shelf) {}

  // One slip; `memory` is the thread's own, absent where nothing is proved.
  SlipResult run(const Slip& slip, compiler::ProofMemory* memory) const {
    SlipResult result;
    const auto compiled = with_slip(engine_.policy(), slip);
    if (!compiled.policy) {
      result.fate = Fate::not_compiled;
      return result;
    }
    auto difference = compiler::differences(engine_.policy(), *compiled.policy);
    drop_what_nobody_sees(difference);
    result.on_the_shelf =
        difference.changes.empty() && on_the_shelf(slip) && !same_on_the_shelf(engine_.policy(), *compiled.policy);
    if (difference.changes.empty() && !result.on_the_shelf) {
      result.fate = Fate::changes_nothing;
      return result;
    }
    if (memory && compiler::prove(*compiled.policy, *memory).refused()) {
      result.fate = Fate::refused;
      return result;
    }
    auto engine = Engine::build(compiled.policy);
    if (!engine) {
      result.fate = Fate::not_compiled;
      return result;
    }
    result.engine = std::move(*engine);
    judge(result);
    if (result.on_the_shelf) {
      result.engine.reset();
      return result;
    }
    if (result.fate == Fate::not_noticed && !difference.settled() && none_shown(difference))
      result.fate = Fate::not_settled;
    if (result.fate == Fate::not_noticed)
      remember(difference, result);
    else
      result.engine.reset();
    return result;
  }

 private:
  static void drop_what_nobody_sees(compiler::Difference& difference) {
    for (auto& change : difference.changes)
      for (auto& statement : change.statements)
        std::erase_if(statement.becomes, [&](const compiler::Becomes& becomes) {
          return !leaves_otherwise(change.answer, becomes.before, becomes.after);
        });
    std::erase_if(difference.changes, [](compiler::AnswerChange& change) {
      std::erase_if(change.statements, [](const auto& statement) { return statement.becomes.empty(); });
      return change.statements.empty() && change.settled;
    });
  }

  static bool none_shown(const compiler::Difference& difference) {
    for (const auto& change : difference.changes)
      for (const auto& statement : change.statements)
        for (const auto& becomes : statement.becomes)
          if (becomes.settled) return false;
    return true;
  }

  void judge(SlipResult& result) const {
    result.fate = Fate::not_noticed;
    std::optional<Stock> stock;
    if (result.on_the_shelf && shelf_) stock = shelf_->stock(result.engine->policy());
    const auto held_to = stock ? std::optional(Shelf{*stock, shelf_->today}) : std::nullopt;
    for (const auto& player : players_) {
      grammar::Diagnostics problems;
      if (rehearse(*result.engine, player, problems, held_to ? &*held_to : nullptr).failed() == 0 && problems.empty())
        continue;
      result.fate = Fate::noticed;
      result.noticed_by = player.name;
      return;
    }
  }

  // Both policies ask the same, so a player of the shared space is one of either.
  void remember(const compiler::Difference& difference, SlipResult& result) const {
    const auto& tables = difference.space.tables;
    for (const auto& change : difference.changes) {
      result.changes.push_back(change.answer);
      for (const auto& statement : change.statements) {
        for (const auto& becomes : statement.becomes) {
          if (becomes.settled)
            result.players.push_back(difference.editions->readings_in(Side::earlier, becomes.player));
        }
        std::vector<ValueRange> region;
        for (const auto& domain : tables.asked) region.push_back({domain.lowest, domain.highest});
        for (const auto& cell : statement.who) {
          const auto& column = tables.columns[cell.column];
          if (column.worked_out) continue;
          region[column.detail] = {values_in(tables, column.detail, cell.places.front()).low,
                                   values_in(tables, column.detail, cell.places.back()).high};
        }
        result.regions.push_back(by_own_detail(difference, region));
      }
    }
  }

  static std::vector<ValueRange> by_own_detail(const compiler::Difference& difference,
                                               const std::vector<ValueRange>& shared) {
    std::vector<ValueRange> own(shared.size());
    for (std::size_t i = 0; i < shared.size(); ++i) own[*difference.editions->detail_in(Side::earlier)[i]] = shared[i];
    return own;
  }

  const Engine& engine_;
  const std::vector<SamplePlayer>& players_;
  const SlipShelf* shelf_;
};

bool apart(const std::vector<ValueRange>& a, const std::vector<ValueRange>& b) {
  for (std::size_t i = 0; i < a.size(); ++i)
    if (a[i].high < b[i].low || b[i].high < a[i].low) return true;
  return false;
}

// No player can notice both.
bool apart(const SlipResult& a, const SlipResult& b) {
  return std::all_of(a.regions.begin(), a.regions.end(), [&](const auto& x) {
    return std::all_of(b.regions.begin(), b.regions.end(), [&](const auto& y) { return apart(x, y); });
  });
}

// Few players who together notice all slips: a greedy set cover. Each player is also given other players' details where
// that makes it notice more.
class Gathering {
 public:
  Gathering(const Engine& engine, const std::vector<const SlipResult*>& slips) : engine_(engine), slips_(slips) {}

  Noticing run() {
    Noticing found;
    std::vector<bool> noticed(slips_.size());
    for (std::size_t first = 0; first < slips_.size(); ++first) {
      if (noticed[first] || slips_[first]->players.empty()) continue;
      auto player = slips_[first]->players.front();
      std::vector<std::size_t> held;
      for (std::size_t i = first; i < slips_.size(); ++i)
        if (!noticed[i] && notices_one(player, i)) held.push_back(i);
      for (std::size_t i = first + 1; i < slips_.size(); ++i)
        if (!noticed[i] && std::find(held.begin(), held.end(), i) == held.end()) take_in(player, i, held);
      for (std::size_t i = 0; i < slips_.size(); ++i)
        if (!noticed[i] && notices_one(player, i)) noticed[i] = true;
      found.players.push_back(std::move(player));
    }
    drop_needless(found.players);
    // A greedy independent set: slips of which no player can notice two. Its size is a lower bound for the cover.
    std::vector<const SlipResult*> alone;
    for (const auto* slip : slips_)
      if (!slip->players.empty() &&
          std::all_of(alone.begin(), alone.end(), [&](const auto* other) { return apart(*slip, *other); }))
        alone.push_back(slip);
    found.at_least = alone.size();
    return found;
  }

 private:
  bool notices_one(const Readings& player, std::size_t i) const {
    return !notices(engine_, *slips_[i], player).empty();
  }
  bool can_be(const Readings& player) const {
    auto scratch = engine_.scratch();
    engine_.place(player, scratch);
    return engine_.can_be(scratch);
  }

  // Makes the player notice slip `i` too, if he still notices all he held.
  void take_in(Readings& player, std::size_t i, std::vector<std::size_t>& held) const {
    for (std::size_t k = 0; k < std::min<std::size_t>(slips_[i]->players.size(), 8); ++k) {
      const auto& region = slips_[i]->regions;
      for (const auto& ranges : region) {
        // Only what the slip's region asks for is taken over.
        auto other = player;
        for (std::size_t detail = 0; detail < other.size(); ++detail)
          if (other[detail] < ranges[detail].low || other[detail] > ranges[detail].high)
            other[detail] = slips_[i]->players[k][detail];
        if (!can_be(other) || !notices_one(other, i)) continue;
        if (!std::all_of(held.begin(), held.end(), [&](std::size_t known) { return notices_one(other, known); }))
          continue;
        player = std::move(other);
        held.push_back(i);
        return;
      }
    }
  }

  void drop_needless(std::vector<Readings>& players) const {
    std::vector<std::size_t> noticing(slips_.size());
    std::vector<std::vector<std::size_t>> by_player;
    for (const auto& player : players) {
      by_player.emplace_back();
      for (std::size_t i = 0; i < slips_.size(); ++i)
        if (notices_one(player, i)) by_player.back().push_back(i), ++noticing[i];
    }
    std::vector<Readings> kept;
    for (std::size_t p = players.size(); p-- > 0;) {
      if (std::all_of(by_player[p].begin(), by_player[p].end(), [&](std::size_t i) { return noticing[i] > 1; })) {
        for (const auto i : by_player[p]) --noticing[i];
        continue;
      }
      kept.insert(kept.begin(), std::move(players[p]));
    }
    players = std::move(kept);
  }

  const Engine& engine_;
  const std::vector<const SlipResult*>& slips_;
};

// All slips on all cores.
SlipRun run_all(const Engine& engine, const std::vector<SamplePlayer>& players, std::vector<Slip> slips, bool proved,
                const TellProgress& tell, const SlipShelf* shelf) {
  SlipRun run;
  run.with_stock = shelf != nullptr;
  run.slips = std::move(slips);
  run.results.resize(run.slips.size());
  const Running running(engine, players, shelf);
  std::atomic<std::size_t> next = 0;
  std::mutex telling;
  std::size_t finished = 0;
  std::exception_ptr trouble;
  const auto work = [&] {
    compiler::ProofMemory memory;
    try {
      if (proved) static_cast<void>(compiler::prove(engine.policy(), memory));
      for (auto i = next++; i < run.slips.size(); i = next++) {
        run.results[i] = running.run(run.slips[i], proved ? &memory : nullptr);
        const std::lock_guard lock(telling);
        tell(++finished, run.slips.size());
      }
    } catch (...) {
      const std::lock_guard lock(telling);
      trouble = std::current_exception();
      next = run.slips.size();
    }
  };
  std::vector<std::thread> threads;
  for (auto i = std::max(1u, std::thread::hardware_concurrency()); i > 0; --i) threads.emplace_back(work);
  for (auto& thread : threads) thread.join();
  if (trouble) std::rethrow_exception(trouble);
  return run;
}

}  // namespace

std::size_t SlipRun::count(Fate fate) const {
  return static_cast<std::size_t>(
      std::count_if(results.begin(), results.end(), [&](const SlipResult& result) { return result.fate == fate; }));
}

std::vector<const SlipResult*> SlipRun::unnoticed() const {
  std::vector<const SlipResult*> all;
  for (const auto& result : results)
    if (result.fate == Fate::not_noticed && !result.on_the_shelf) all.push_back(&result);
  return all;
}

SlipRun run_slips(const Engine& engine, const std::vector<SamplePlayer>& players, const TellProgress& tell,
                  const SlipShelf* shelf) {
  return run_all(engine, players, slips_of(engine.policy()), true, tell, shelf);
}

SlipRun run_edge_slips(const Engine& engine, const TellProgress& tell) {
  auto slips = slips_of(engine.policy());
  std::erase_if(slips, [](const Slip& slip) { return !on_an_edge(slip); });
  return run_all(engine, {}, std::move(slips), false, tell, nullptr);
}

std::vector<compiler::MatchedAnswer> notices(const Engine& engine, const SlipResult& slip, const Readings& player) {
  auto before = engine.scratch(), after = slip.engine->scratch();
  engine.place(player, before);
  slip.engine->place(player, after);
  std::vector<compiler::MatchedAnswer> changed;
  for (const auto& answer : slip.changes) {
    const auto was = outcome_of(engine, answer, Side::earlier, before);
    const auto is = outcome_of(*slip.engine, answer, Side::later, after);
    if (was && is && leaves_otherwise(answer, *was, *is)) changed.push_back(answer);
  }
  return changed;
}

Noticing players_noticing(const Engine& engine, const std::vector<const SlipResult*>& slips) {
  return Gathering(engine, slips).run();
}

}  // namespace lacestay::runtime
