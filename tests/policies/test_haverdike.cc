// The shop at Haverdike, policy, stock and sample players together: all hold, every player is kitted whole for what he
// was told to plan, and a naive matcher agrees on what may be handed over.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <set>

#include "compiler/proof/proof.hpp"
#include "runtime/quote/text.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "tests/policies/fitted.hpp"
#include "tests/runtime/quote/naive_matching.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/places.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;

const auto the_day = day_of(2026, 10, 3);

const runtime::Stock& the_stock() {
  static const auto stock = runtime::read_stock(haverdike().policy(), in_policies("haverdike/stock"), {});
  return stock;
}

std::vector<runtime::SamplePlayer> sample_players() {
  grammar::Diagnostics problems;
  auto file = runtime::read_players(haverdike().policy(), "haverdike_saturday.players",
                                    bytes_of(in_policies("haverdike_saturday.players")), problems);
  INFO(render(problems.sorted()));
  REQUIRE(problems.empty());
  static std::vector<std::shared_ptr<const grammar::Source>> sources;  // the players point into it
  sources.push_back(file.source);
  return std::move(file.players);
}

runtime::Quote quoted(const runtime::Player& player) {
  return runtime::quote(haverdike(), player, the_stock(), the_day, std::nullopt);
}

TEST_CASE("Haverdike's policy is proved, its stock is read whole, its sample players leave with what they must") {
  CHECK_FALSE(compiler::prove(haverdike().policy()).refused());
  INFO(render(the_stock().problems.sorted()));
  CHECK(the_stock().problems.empty());
  std::set<std::string> makes;
  for (const auto& item : the_stock().items) makes.insert(item.make);
  CHECK(the_stock().items.size() > 2'000);
  CHECK(makes.size() == 8);
  grammar::Diagnostics problems;
  std::size_t wishes = 0;
  for (const auto& player : sample_players()) {
    const auto result = runtime::rehearse(haverdike(), player, problems);
    INFO(player.name);
    CHECK(result.failed() == 0);
    wishes += result.wishes.size();
  }
  CHECK(wishes > 400);
}

TEST_CASE(
    "every sample player who is measured, and not the fitter's to decide, is kitted for what he was told to plan") {
  std::size_t whole = 0, lines = 0;
  for (const auto& sample : sample_players()) {
    INFO(sample.name);
    const auto made = quoted(sample.player);
    CHECK(made.status == runtime::KitStatus::best);
    whole += made.complete() ? 1 : 0;
    for (const auto& open : made.not_quoted) {
      const auto why = runtime::why_text(open);
      INFO(open.piece << ": " << why);
      CHECK((why == "the advice leaves it to the fitter" || why.rfind("take ", 0) == 0 ||
             why.rfind("ask the fitter: it has to go with the helmet", 0) == 0));
    }
    for (const auto& line : made.lines) {
      INFO(line.piece << " " << line.item.number);
      REQUIRE(line.plan);
      if (!line.instead.empty()) continue;
      ++lines;
      CHECK(line.item.price >= line.plan->low);
      CHECK(line.item.price <= line.plan->high);
    }
  }
  CHECK(whole == 16);
  CHECK(lines > 200);
}

// One size is a third of an inch: the room of a growing foot and a step up from stock never come to more.
TEST_CASE("no boot that is handed over is longer than its foot by more than one size") {
  constexpr double one_size = 25.4 / 3;
  std::size_t boots = 0, stepped_up = 0;
  const auto& policy = haverdike().policy();
  for (int foot = 160; foot <= 310; ++foot)
    for (const char* age : {"age=5, birth_day=2021-05-01, category=u8", "age=13, birth_day=2013-05-01, category=u14",
                            "age=30, birth_day=1996-05-01, category=adult"})
      for (const char* role : {"skater", "goalkeeper"}) {
        const auto player = player_of(
            policy,
            fmt::format("{}, role={}, sex=male, skill=new, contact=none, sessions=1, league=friendly, weight=45 kg, "
                        "height=140 cm, foot_length={} mm, other_foot={} mm, foot_width={} mm",
                        age, role, foot, foot, (foot * 38 + 50) / 100));
        for (const auto& line : quoted(player).lines) {
          if (line.piece != "skates" && line.piece != "goal_skates") continue;
          const auto& item = the_stock().items[line.item.item];
          const auto first = policy.pieces[item.piece].first_property;
          std::uint32_t size = 0;
          while (policy.properties[first + size].name != "size") ++size;
          const double boot = static_cast<double>(item.values[size].low) /
                              static_cast<double>(compiler::ticks_per({grammar::Unit::millimetre, ""}));
          ++boots;
          stepped_up += line.instead.find("in size") != line.instead.npos ? 1 : 0;
          INFO(role << ", " << age << ": foot " << foot << " mm, boot " << boot << " mm");
          CHECK(boot >= foot - 1);
          CHECK(boot - foot <= one_size);
        }
      }
  CHECK(boots > 600);
  CHECK(stepped_up > 5);
}

// Bytes and the policy's tree alone, for whoever's every detail is told.
TEST_CASE("a naive matcher agrees on what may be handed to every sample player") {
  std::vector<naive::TextFile> files;
  for (const auto& source : haverdike().policy().sources)
    files.push_back({std::string(source->name()), std::string(source->text())});
  const auto policy = naive::prepare(files);
  NaiveStock stock;
  for (const auto& entry : std::filesystem::directory_iterator(in_policies("haverdike/stock")))
    stock[entry.path().stem().string()] = naive_rows(bytes_of(entry.path()));
  std::size_t players = 0, items = 0;
  for (const auto& sample : sample_players()) {
    if (!sample.player.complete()) continue;
    ++players;
    std::map<std::string, std::string> texts;
    std::vector<std::string> owns;
    for (std::size_t i = 0; i < sample.player.readings.size(); ++i) {
      const auto& detail = haverdike().policy().details[i];
      texts[detail.name] = detail.scale.write_for_policy(*sample.player.readings[i]);
    }
    for (const auto piece : sample.player.owns) owns.push_back(haverdike().policy().pieces[piece].name);
    const auto expected = naive_matches(policy, naive::read_player(policy, texts), owns, stock, "2026-10-03");
    const auto possible = runtime::possible_answers(haverdike(), sample.player);
    for (const auto& match : runtime::match(haverdike(), sample.player, possible, the_stock(), the_day)) {
      const auto piece = haverdike().policy().pieces[match.piece].name;
      INFO(sample.name << " " << piece);
      REQUIRE(expected.count(piece) == 1);
      std::vector<std::string> numbers;
      for (const auto item : match.items) numbers.push_back(the_stock().items[item].number);
      CHECK(numbers == expected.at(piece).numbers);
      CHECK((match.kind == runtime::Match::Kind::items) == (expected.at(piece).kind == "items"));
      if (match.kind == runtime::Match::Kind::items) CHECK(match.instead == expected.at(piece).instead);
      items += numbers.size();
    }
  }
  CHECK(players >= 15);
  CHECK(items > 500);
}

}  // namespace
