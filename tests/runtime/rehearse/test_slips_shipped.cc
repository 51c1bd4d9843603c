// Slips planted in the shipped policy, before its sample players: the hand-kept ones and the generated ones together
// notice every slip that can be noticed. (Published boundary-value criteria reached 80.7 %: Suman et al., TAIC PART
// 2010; from memory.) Two minutes of processor time, so only where whole sets are asked for.
#include <catch2/catch.hpp>
#include <fstream>
#include <iostream>
#include <set>
#include <sstream>

#include "runtime/rehearse/slip_run.hpp"
#include "tests/support/places.hpp"
#include "tests/support/policy/shipped.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using Fate = runtime::SlipResult::Fate;

std::vector<runtime::SamplePlayer> players_of(const std::string& name) {
  std::ifstream in(lacestay::tests::in_policies(name));
  REQUIRE(in);
  std::stringstream text;
  text << in.rdbuf();
  grammar::Diagnostics problems;
  // The spans of the players point into the file's source, which they share.
  static std::vector<runtime::PlayersFile> files;
  files.push_back(runtime::read_players(tests::shipped().policy(), name, text.str(), problems));
  INFO(render(problems.sorted()));
  REQUIRE(problems.empty());
  return files.back().players;
}

TEST_CASE("the shipped sample players notice every slip that can be noticed") {
  if (!tests::whole()) {
    std::cout << "not run: with LACESTAY_WHOLE=1 every slip is planted, in some minutes\n";
    return;
  }
  const auto kept = players_of("saturday.players");
  CHECK(kept.size() < 40);
  auto all = kept;
  for (auto& each : players_of("noticing.players")) all.push_back(std::move(each));
  const auto run = runtime::run_slips(tests::shipped(), all, [](std::size_t, std::size_t) {});
  std::set<std::string> by_hand;
  for (const auto& player : kept) by_hand.insert(player.name);
  std::size_t noticed_by_hand = 0;
  for (const auto& result : run.results)
    if (result.fate == Fate::noticed && by_hand.count(result.noticed_by) != 0) ++noticed_by_hand;
  // A slip on the shelf alone changes no answer: without a stock no player can notice it, and it is told as such.
  const auto noticed = run.count(Fate::noticed), missed = run.unnoticed().size();
  std::cout << run.slips.size() << " slips: " << run.count(Fate::not_compiled) << " refused by the compiler, "
            << run.count(Fate::refused) << " by the proof, " << run.count(Fate::changes_nothing)
            << " change nothing; of " << noticed + missed << " that can be noticed, the " << kept.size()
            << " hand-kept players notice " << noticed_by_hand << " and all " << all.size() << " notice " << noticed
            << "; " << run.count(Fate::not_noticed) - missed << " on the shelf alone, without a stock\n";
  for (std::size_t i = 0; i < run.slips.size(); ++i)
    if (run.results[i].fate == Fate::not_noticed && !run.results[i].on_the_shelf) {
      const auto& place = run.slips[i].place;
      UNSCOPED_INFO(place.source->name() << " line " << place.source->place(place.begin).line);
    }
  CHECK(missed == 0);
  CHECK(run.count(Fate::not_settled) == 0);
  CHECK(noticed > 1000);
}

}  // namespace
