// The shop's spreadsheets of items: what is read of each. No bytes crash the reader.
#include <algorithm>
#include <filesystem>
#include <fstream>

#include "tests/reference/draw.hpp"
#include "tests/runtime/stock/spreadsheets.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/places.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/policy/shipped.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;

TEST_CASE("a spreadsheet is read as the shop means it") {
  check({
      {"a unit in the heading", "skates.csv", skates_head + "S1,Fell,Dart,99.50,2,club,265\n",
       "skates S1|Fell|Dart|9950|2|club|265 mm\n"},
      {"a unit in the cell beats the heading's", "skates.csv", skates_head + "S1,Fell,Dart,99.5 GBP,0,club,26.5 cm\n",
       "skates S1|Fell|Dart|9950|0|club|265 mm\n"},
      {"headings as people write them", "skates.csv",
       "ITEM,Price (GBP),On hand,Skates tier,SIZE (cm)\nS1,99,2,Entry,26.5\n", "skates S1|||9900|2|entry|265 mm\n"},
      {"a range in one unit", "helmet.csv", helmet_head + "H1,Fell,Cap,40,1,ISO 10256-2,54-58 cm,2027-08-31,new\n",
       "helmet H1|Fell|Cap|4000|1|iso_10256_2|54 to 58 cm|until 31 August 2027\n"},
      {"a range with the word to, and a day as people write it", "helmet.csv",
       helmet_head + "H1,,,40,1,ISO 10256-2,540 to 580 mm,31 August 2027,new\n",
       "helmet H1|||4000|1|iso_10256_2|54 to 58 cm|until 31 August 2027\n"},
      {"a range with a long dash and two units", "helmet.csv",
       helmet_head + "H1,,,40,1,ISO 10256-2,540 mm–58 cm,2027-08-31,new\n",
       "helmet H1|||4000|1|iso_10256_2|54 to 58 cm|until 31 August 2027\n"},
      {"a range's own unit beats the heading's", "helmet.csv",
       "item,price,on hand,mark,head girth (mm),certified until,condition\nH1,40,1,ISO 10256-2,54-58 "
       "cm,2027-08-31,new\nH2,40,1,ISO 10256-2,540-580,2027-08-31,new\n",
       "helmet H1|||4000|1|iso_10256_2|54 to 58 cm|until 31 August 2027\n"
       "helmet H2|||4000|1|iso_10256_2|54 to 58 cm|until 31 August 2027\n"},
      {"several members, however they are parted", "helmet.csv",
       helmet_head + "H1,,,40,1,ISO 10256-2; CSA Z262.1,54-58 cm,2027-08-31,new\n" +
           "H2,,,40,1,\"iso_10256_2, ASTM F1045\",54-58 cm,2027-08-31,new\n" +
           "H3,,,40,1,CSA Z262.1 / ASTM F1045,54-58 cm,2027-08-31,new\n",
       "helmet H1|||4000|1|iso_10256_2, csa_z262_1|54 to 58 cm|until 31 August 2027\n"
       "helmet H2|||4000|1|iso_10256_2, astm_f1045|54 to 58 cm|until 31 August 2027\n"
       "helmet H3|||4000|1|csa_z262_1, astm_f1045|54 to 58 cm|until 31 August 2027\n"},
      {"either hand, either toe", "stick.csv", stick_head + "K1,,,30,1,60,75 flex,left or right,\"round, square\"\n",
       "stick K1|||3000|1|60 in|75 flex|left, right|round, square\n"},
      {"fractions of an inch", "stick.csv",
       "item,price,on hand,length,flex (flex),curve,toe\nK1,30,1,58½ in,75,left,round\nK2,30,1,5 ft,75,left,round\n",
       "stick K1|||3000|1|58½ in|75 flex|left|round\nstick K2|||3000|1|60 in|75 flex|left|round\n"},
      {"a decimal comma, in quotes", "skates.csv", skates_head + "S1,,,\"99,50\",2,club,\"26,5 cm\"\n",
       "skates S1|||9950|2|club|265 mm\n"},
      {"a byte-order mark, semicolons, decimal commas and Windows line ends", "skates.csv",
       "\xEF\xBB\xBFitem;make;model;price;on hand;tier;size (cm)\r\nS1;Fell;Dart;99,50;2;club;26,5\r\n",
       "skates S1|Fell|Dart|9950|2|club|265 mm\n"},
      {"a comma, and quotes, inside a quoted name", "skates.csv",
       skates_head + "S1,\"Fell, Sons\",\"Dart \"\"9\"\"\",99,2,club,265\n",
       "skates S1|Fell, Sons|Dart \"9\"|9900|2|club|265 mm\n"},
      {"columns the policy says nothing of are passed over", "skates.csv",
       "item,price,on hand,tier,size (mm),barcode,,shelf number\nS1,99,2,club,265,5012,x,A4\n",
       "skates S1|||9900|2|club|265 mm\nskates.csv passes over barcode\nskates.csv passes over shelf number\n"},
      {"rows of separators alone, as spreadsheets leave them", "skates.csv",
       skates_head + ",,,,,,\nS1,,,99,2,club,265\n,,,,,,\n\n", "skates S1|||9900|2|club|265 mm\n"},
      {"a date that is not known", "helmet.csv", helmet_head + "H1,,,40,1,ISO 10256-2,54-58 cm,,new\n",
       "helmet H1|||4000|1|iso_10256_2|54 to 58 cm\n"},
      {"used goods", "helmet.csv", helmet_head + "H1,,,40,1,ISO 10256-2,54-58 cm,2027-08-31,Used\n",
       "helmet H1|||4000|1|iso_10256_2|54 to 58 cm|until 31 August 2027|used\n"},
      {"one file for all pieces, each with its own columns", "shelf.csv",
       "item,piece,price,on hand,rolls,tier,size (mm)\nT1,tape,4,9,2,,\nS1,Skates,99,2,,club,265\n",
       "skates S1|||9900|2|club|265 mm\ntape T1|||400|9|2\n"},
      {"a column piece beats the file's name", "skates.csv",
       "item,piece,price,on hand,rolls,tier,size (mm)\nT1,tape,4,9,2,,\nS1,skates,99,2,,club,265\n",
       "skates S1|||9900|2|club|265 mm\ntape T1|||400|9|2\n"},
      {"a heading alone", "skates.csv", skates_head, ""},
      {"an ending in capitals, as Windows may have it", "SKATES.CSV", skates_head + "S1,,,99,2,club,265\n",
       "skates S1|||9900|2|club|265 mm\n"},
  });
}

TEST_CASE("a cell says a member by its name or by its words, and the whole of it is looked at before it is parted") {
  const auto engine = small_shop(R"(
piece pads always
  size choice small shown as "S", medium shown as "M", small_medium shown as "S/M", x_large shown as "XL, tall"
  mark choice iso_10256_2 shown as "ISO 10256-2", either shown as "Left or right"
  length one of 46, 48, 52 in
rule usual_size
  set pads size to small
rule usual_mark
  set pads mark to either
rule usual_length
  set pads length to 48 in
accept pads with size as advised, mark as advised, length as advised
)");
  const auto read = [&](const std::string& size, const std::string& mark, const std::string& length) {
    const auto stock = stock_of(engine->policy(), {{"pads.csv", "item,price,on hand,size,mark,length\nP1,9,1,\"" +
                                                                    size + "\",\"" + mark + "\"," + length + "\n"}});
    auto out = render(stock.problems.sorted());
    for (const auto& item : stock.items)
      for (std::size_t i = 0; i < item.values.size(); ++i)
        out += runtime::write_value(engine->policy().properties[i].scale, item.values[i]) + "; ";
    return out;
  };
  CHECK(read("S/M", "iso_10256_2", "48 in") == "S/M; ISO 10256-2; 48 in; ");
  CHECK(read("s / m", "ISO 10256-2", "4'") == "S/M; ISO 10256-2; 48 in; ");
  CHECK(read("M/S", "ISO 10256 2 / either", "4'4") == "S, M; ISO 10256-2, Left or right; 52 in; ");
  CHECK(read("M, S/M", "left or right", "46 inches") == "M, S/M; Left or right; 46 in; ");
  CHECK(read("xl tall; medium", "either; ISO 10256-2", "46-52 in") ==
        "M, XL, tall; ISO 10256-2, Left or right; 46 to 52 in; ");
  CHECK(read("X large", "either", "47 1/2 in") == "XL, tall; Left or right; 47.5 in; ");
  CHECK(read("L", "either", "48 in") ==
        "stock-5: 'L' is no size.\n"
        "  pads.csv, line 2, character 8\n"
        "      P1,9,1,\"L\",\"either\",48 in\n"
        "             ^^^\n"
        "  Try: write one or more of S, M, S/M and XL, tall.\n");
}

TEST_CASE("the spreadsheet that a chart stands in is passed over in the stock's folder") {
  const std::string chart = "\xEF\xBB\xBF\"down weight\",\nunder 40 kg,small\nthe rest,large\n";
  const std::string items = "item,piece,price,on hand,size\nP1,pads,9,1,small\n";
  const auto made = compile_files({{"p.fitting",
                                    "policy \"Shop\"\nedition 1, in force from 1 September 2026\nmoney GBP\n"
                                    "ask weight 12 to 180 kg\npiece pads always\n  size grades small, large\n"
                                    "chart pads_chart gives pads size from \"charts/pads.csv\"\n"
                                    "accept pads with size as advised\n"},
                                   {"charts/pads.csv", chart}});
  INFO(render(made.diagnostics));
  REQUIRE(made.policy);
  const auto read = [&](const Files& files) {
    const auto stock = stock_of(*made.policy, files);
    std::string out;
    for (const auto& file : stock.files) out += file.name + " ";
    for (const auto& item : stock.items) out += item.number + " ";
    for (const auto& problem : stock.problems.sorted()) out += problem.code + " ";
    return out;
  };
  CHECK(read({{"pads.csv", chart}, {"shelf.csv", items}}) == "shelf.csv P1 ");
  CHECK(read({{"pads.csv", chart}}) == "stock-1 ");
  // Neither its name alone nor a grid alone: what may be stock is never passed over.
  CHECK(read({{"pads.csv", items}}) == "pads.csv P1 ");
  CHECK(read({{"helmet.csv", chart}, {"pads.csv", items}}) == "helmet.csv pads.csv P1 stock-2 ");
}

TEST_CASE("a folder that holds no stock, and one that is not there") {
  namespace fs = std::filesystem;
  const Folder around;
  const auto folder = around.folder() / "stock";
  const auto told = [&] { return render(runtime::read_stock(small().policy(), folder, {}).problems.sorted()); };
  CHECK(told() == "stock-1: '" + folder.string() +
                      "' can't be read: it is no folder that may be opened.\n"
                      "  Try: name the folder the stock files lie in.\n");
  fs::create_directories(folder / "skates.csv");  // a folder, whatever it is called
  std::ofstream(folder / "notes.txt") << "item\n";
  std::ofstream(folder / ".hidden.csv") << "item\n";
  CHECK(told() == "stock-1: '" + folder.string() +
                      "' holds no stock: no file in it ends in .csv.\n"
                      "  Try: save the shop's spreadsheet there as CSV, one file a piece, such as skates.csv.\n");
  fs::create_symlink(folder / "gone", folder / "stick.csv");
  CHECK(told() == "stock-1: '" + (folder / "stick.csv").string() +
                      "' may not be opened.\n  Try: see that the file may be read.\n");
}

// Bytes of the shipped files are changed, dropped, doubled and swapped. Nothing may crash, and what is read must hold
// what the header says of an item.
TEST_CASE("no bytes crash the reader, and each row is read or set aside") {
  namespace fs = std::filesystem;
  const auto& policy = shipped().policy();
  naive::Draw draw(20261101);
  std::vector<std::pair<std::string, std::string>> shipped;
  for (const auto& entry : fs::directory_iterator(in_policies("stock"))) {
    std::ifstream in(entry.path(), std::ios::binary);
    const std::string text(std::istreambuf_iterator<char>(in), {});
    std::size_t end = 0;  // a heading and some rows
    for (int i = 0; i < 12 && end != std::string::npos; ++i) end = text.find('\n', end + 1);
    shipped.emplace_back(entry.path().filename().string(), text.substr(0, end));
  }
  REQUIRE(shipped.size() == 27);
  std::sort(shipped.begin(), shipped.end());
  static constexpr std::string_view kinds("\",;\n\r\t -.()09aZ%/\xC2\xBD\xEF\xBB\xBF\xE2\x80\x93\xFF\0", 34);
  std::size_t rows = 0, kept = 0;
  for (int round = 0; round < 3'000; ++round) {
    auto [name, text] = draw.pick(shipped);
    for (auto changes = draw.between(1, 8); changes > 0 && text.size() > 2; --changes) {
      const auto at = draw.place(text.size() - 1);
      const auto from = draw.place(text.size());
      const auto piece = text.substr(from, draw.place(30));
      switch (draw.between(0, 4)) {
        case 0: text[at] = kinds[draw.place(kinds.size())]; break;
        case 1: text.erase(at, 1 + draw.place(20)); break;
        case 2: text.insert(at, piece); break;
        case 3: text.insert(at, 1, kinds[draw.place(kinds.size())]); break;
        default: std::swap(text[at], text[at + 1]);
      }
    }
    INFO(round << " " << name << "\n" << text);
    const auto stock = stock_of(policy, {{name, text}});
    REQUIRE(stock.files.size() == 1);
    const auto& file = stock.files.front();
    REQUIRE(file.rows == file.set_aside + stock.items.size());
    REQUIRE((file.set_aside == 0 || !stock.problems.empty()));
    (void)render(stock.problems.sorted());
    for (const auto& item : stock.items) {
      REQUIRE(!item.number.empty());
      REQUIRE(item.price > 0);
      REQUIRE(item.on_hand >= 0);
      REQUIRE(item.piece < policy.pieces.size());
      for (const auto& value : item.values) REQUIRE(value.low <= value.high);
    }
    rows += file.rows, kept += stock.items.size();
  }
  CHECK(kept > rows / 4);  // most changes cost a row, not the file
}

}  // namespace
