// What a players file says of items and totals: held against the stock where it is given, and said to be unread where
// not.
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "compiler/values/days.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/policy/compiled.hpp"

namespace {

using namespace lacestay;

const char* const policy_text = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
money GBP
ask head_girth 44 to 66 cm
piece helmet always "Helmet"
  size grades small, large
piece tape always "Tape"
chart helmet_chart gives helmet size
  down head_girth
    under 55 cm:  small
    the rest:     large
accept helmet with size as advised, condition new
accept tape with condition new
over the limit
  put off tape
)";

const char* const helmets = R"(item,make,model,price,on hand,size,condition
HE-1,Fennimoor,Anvil,44.95,2,small,new
HE-2,Brackhollow,Copper,52,1,small,new
HE-3,Brackhollow,Copper,54,0,large,new
)";
const char* const tapes = "item,make,model,price,on hand,condition\nTA-1,Sedgeby,Cloth,4.50,9,new\n";

const char* const players_text = R"(players of "corner.fitting"
player child
  head_girth 52 cm
  can spend 60 GBP
  leaves with item "HE-1"
  leaves without item "HE-2"
  leaves with total 49.45 GBP
  leaves with total at most 50 GBP
player hopeful
  head_girth 52 cm
  leaves with item "HE-2"
  leaves with total at most 40 GBP
player grown
  head_girth 58 cm
  leaves with item "HE-3"
)";

std::shared_ptr<const runtime::Engine> engine() { return tests::engine_of("corner.fitting", policy_text); }

std::filesystem::path stock_folder() {
  const auto folder = std::filesystem::temp_directory_path() / "lacestay-rehearse-stock";
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  std::ofstream(folder / "helmet.csv") << helmets;
  std::ofstream(folder / "tape.csv") << tapes;
  return folder;
}

std::string rehearsed(const runtime::Shelf* shelf) {
  const auto shop = engine();
  grammar::Diagnostics problems;
  const auto file = runtime::read_players(shop->policy(), "corner.players", players_text, problems);
  std::vector<runtime::PlayerResult> results;
  for (const auto& player : file.players) results.push_back(runtime::rehearse(*shop, player, problems, shelf));
  INFO(render(problems.sorted()));
  CHECK(problems.empty());
  return runtime::text_of(results);
}

TEST_CASE("items and totals are held against the stock") {
  const auto shop = engine();
  const auto stock = runtime::read_stock(shop->policy(), stock_folder(), {});
  CHECK(render(stock.problems.sorted()) == "");
  const runtime::Shelf shelf{stock, compiler::day_number(2026, 11, 25)};
  tests::golden("rehearse/what_stock_tells.txt", rehearsed(&shelf));
}

TEST_CASE("without the stock it is said that they were not looked at") {
  CHECK(rehearsed(nullptr) ==
        "7 lines about items and totals are not looked at: give the stock with --stock FOLDER.\n"
        "3 players, 7 lines: all hold.\n");
}

TEST_CASE("an item the stock does not have is told of") {
  const auto shop = engine();
  const auto stock = runtime::read_stock(shop->policy(), stock_folder(), {});
  const runtime::Shelf shelf{stock, compiler::day_number(2026, 11, 25)};
  grammar::Diagnostics problems;
  const auto file = runtime::read_players(shop->policy(), "one.players",
                                          "player a\n  head_girth 52 cm\n  leaves with item \"HE-9\"\n", problems);
  (void)runtime::rehearse(*shop, file.players.front(), problems, &shelf);
  CHECK(render(problems.sorted()) == R"(players-2: No item of the stock has the number 'HE-9'.
  one.players, line 3, character 21
      leaves with item "HE-9"
                        ^^^^
  Try: write a number that stands in the stock files.
)");
}

}  // namespace
