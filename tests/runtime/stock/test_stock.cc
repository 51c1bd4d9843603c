// The shop's spreadsheets: what is read of each, or the whole of what a person is told. No bytes crash the reader.
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "tests/reference/draw.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/places.hpp"
#include "tests/support/policy/shipped.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;
using tests::Files;

const runtime::Engine& small() {
  static const auto engine = tests::small_shop(R"(
ask head_girth 44 to 66 cm
ask hand choice left, right
piece helmet always
  mark choice iso_10256_2, csa_z262_1, astm_f1045
piece skates always
  tier grades entry, club, performance
  size 140 to 340 mm step 5 mm
piece stick always
  length 32 to 64 in step ½ in
  flex band 20 to 110 flex step 5 flex
  curve choice left, right
  toe choice round, square
piece tape optional
  rolls 1 to 9 step 1
rule usual_mark
  set helmet mark to iso_10256_2
rule usual_tier
  set skates tier to entry
rule usual_size
  set skates size to 265 mm
rule usual_length
  set stick length to 58 in
rule usual_flex
  set stick flex to 70 to 85 flex
rule usual_curve
  set stick curve to left
rule usual_toe
  set stick toe to round
rule usual_rolls
  set tape rolls to 2
rule some_tape
  suggest tape
protection is helmet
accept helmet with covers head_girth, mark as advised, certified until today, condition new
accept skates with size as advised, tier at least advised
accept stick with length at least advised, flex within advised once cut to length, curve as advised, toe as advised
accept tape with rolls at least advised
)");
  return *engine;
}

// One line an item, then each file's columns passed over and rows set aside, then what a person is told.
std::string read(const Files& files) {
  const auto& policy = small().policy();
  const auto stock = tests::stock_of(policy, files);
  std::string out;
  for (const auto& item : stock.items) {
    const auto& piece = policy.pieces[item.piece];
    out += piece.name + " " + item.number + "|" + item.make + "|" + item.model + "|" + std::to_string(item.price) +
           "|" + std::to_string(item.on_hand);
    for (std::size_t i = 0; i < item.values.size(); ++i)
      out.append("|").append(runtime::write_value(policy.properties[piece.first_property + i].scale, item.values[i]));
    for (std::size_t i = 0; i < item.covers.size(); ++i)
      out.append("|").append(runtime::write_value(policy.scale_of(stock.covered[item.piece][i]), item.covers[i]));
    if (item.certified_until) out += "|until " + compiler::show(*item.certified_until, compiler::Dimension::day, {});
    if (item.used) out += "|used";
    out += "\n";
  }
  for (const auto& file : stock.files) {
    for (const auto& column : file.passed_over) out += file.name + " passes over " + column + "\n";
    if (file.set_aside > 0)
      out += file.name + ": " + std::to_string(file.set_aside) + " of " + std::to_string(file.rows) + " set aside\n";
  }
  return out + render(stock.problems.sorted());
}

const std::string skates_head = "item,make,model,price,on hand,tier,size (mm)\n";
const std::string helmet_head = "item,make,model,price,on hand,mark,head girth,certified until,condition\n";
const std::string stick_head = "item,make,model,price,on hand,length (in),flex,curve,toe\n";

struct Row {
  const char* shows;
  const char* file;
  std::string text, expected;
};

void check(const std::vector<Row>& rows) {
  for (const auto& row : rows) {
    INFO(row.shows << "\n" << row.text);
    CHECK(read({{row.file, row.text}}) == row.expected);
  }
}

}  // namespace

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
       "stick K1|||3000|1|58.5 in|75 flex|left|round\nstick K2|||3000|1|60 in|75 flex|left|round\n"},
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

TEST_CASE("what can't be read is told whole, and costs its row, or its file") {
  check({
      {"a unit of the wrong kind", "skates.csv", skates_head + "S1,,,99,2,club,265 kg\nS2,,,99,2,club,265\n",
       "skates S2|||9900|2|club|265 mm\n"
       "skates.csv: 1 of 2 set aside\n"
       "stock-5: '265 kg' is no size.\n"
       "  skates.csv, line 2, character 16\n"
       "      S1,,,99,2,club,265 kg\n"
       "                     ^^^^^^\n"
       "  Try: write a length or a range of it, as in: 265 mm, or 96-104 cm.\n"},
      {"a needed cell that is blank", "skates.csv",
       skates_head + "S1,,,99,2,,265\n ,,,99,2,club,265\nS3,,,99,2,club,\n\" \",,,99,2,club,265\n",
       "skates.csv: 4 of 4 set aside\n"
       "stock-4: The item's tier is blank.\n"
       "  skates.csv, line 2, character 11\n"
       "      S1,,,99,2,,265\n"
       "                ^\n"
       "  Try: fill it in: one or more of entry, club and performance.\n"
       "\n"
       "stock-4: The item's number is blank.\n"
       "  skates.csv, line 3, character 2\n"
       "      ,,,99,2,club,265\n"
       "      ^\n"
       "  Try: fill it in: the one it is ordered by, or one of your own.\n"
       "\n"
       "stock-4: The item's size is blank.\n"
       "  skates.csv, line 4, character 16\n"
       "      S3,,,99,2,club,\n"
       "                     ^\n"
       "  Try: fill it in: a length or a range of it, as in: 265 mm, or 96-104 cm.\n"
       "\n"
       "stock-4: The item's number is blank.\n"
       "  skates.csv, line 5, character 1\n"
       "      \" \",,,99,2,club,265\n"
       "      ^^^\n"
       "  Try: fill it in: the one it is ordered by, or one of your own.\n"},
      {"an unknown member, with what is accepted", "helmet.csv",
       helmet_head + "H1,,,40,1,ISO 10256-9,54-58 cm,2027-08-31,new\n",
       "helmet.csv: 1 of 1 set aside\n"
       "stock-5: 'ISO 10256-9' is no mark.\n"
       "  helmet.csv, line 2, character 11\n"
       "      H1,,,40,1,ISO 10256-9,54-58 cm,2027-08-31,new\n"
       "                ^^^^^^^^^^^\n"
       "  Try: write one or more of iso_10256_2, csa_z262_1 and astm_f1045.\n"},
      {"a grade's unknown member", "skates.csv", skates_head + "S1,,,99,2,pro,265\n",
       "skates.csv: 1 of 1 set aside\n"
       "stock-5: 'pro' is no tier.\n"
       "  skates.csv, line 2, character 11\n"
       "      S1,,,99,2,pro,265\n"
       "                ^^^\n"
       "  Try: write one or more of entry, club and performance.\n"},
      {"an unknown column, with a guess", "skates.csv", "item,price,on hnad,tier,size (mm)\nS1,99,2,club,265\n",
       "skates.csv: 1 of 1 set aside\n"
       "stock-8: No column is called 'on hnad'.\n"
       "  skates.csv, line 1, character 12\n"
       "      item,price,on hnad,tier,size (mm)\n"
       "                 ^^^^^^^\n"
       "  Try: perhaps on_hand is meant.\n"},
      {"a price of 0", "skates.csv", skates_head + "S1,,,0,2,club,265\nS2,,,0.00 GBP,2,club,265\n",
       "skates.csv: 2 of 2 set aside\n"
       "stock-6: An item for nothing is no item to quote.\n"
       "  skates.csv, line 2, character 6\n"
       "      S1,,,0,2,club,265\n"
       "           ^\n"
       "  Try: write what it costs; what is given away goes into a deal.\n"
       "\n"
       "stock-6: An item for nothing is no item to quote.\n"
       "  skates.csv, line 3, character 6\n"
       "      S2,,,0.00 GBP,2,club,265\n"
       "           ^^^^^^^^\n"
       "  Try: write what it costs; what is given away goes into a deal.\n"},
      {"a negative price", "skates.csv", skates_head + "S1,,,-5,2,club,265\n",
       "skates.csv: 1 of 1 set aside\n"
       "stock-5: '-5' is no price.\n"
       "  skates.csv, line 2, character 6\n"
       "      S1,,,-5,2,club,265\n"
       "           ^^\n"
       "  Try: write a sum, as in: 45.50 GBP.\n"},
      {"a price that is a range", "skates.csv", skates_head + "S1,,,90-99,2,club,265\n",
       "skates.csv: 1 of 1 set aside\n"
       "stock-6: A price is one sum.\n"
       "  skates.csv, line 2, character 6\n"
       "      S1,,,90-99,2,club,265\n"
       "           ^^^^^\n"
       "  Try: write one sum, of at most ten million.\n"},
      {"a price in other money", "skates.csv", skates_head + "S1,,,99 EUR,2,club,265\n",
       "skates.csv: 1 of 1 set aside\n"
       "stock-5: '99 EUR' is no price.\n"
       "  skates.csv, line 2, character 6\n"
       "      S1,,,99 EUR,2,club,265\n"
       "           ^^^^^^\n"
       "  Try: write a sum, as in: 45.50 GBP.\n"},
      {"a point or a comma that may part thousands", "skates.csv",
       skates_head + "S1,,,1.200,2,club,265\nS2,,,\"1,200\",2,club,265\n",
       "skates.csv: 2 of 2 set aside\n"
       "stock-5: '1.200' is no price.\n"
       "  skates.csv, line 2, character 6\n"
       "      S1,,,1.200,2,club,265\n"
       "           ^^^^^\n"
       "  Try: write a sum, as in: 45.50 GBP.\n"
       "\n"
       "stock-5: '1,200' is no price.\n"
       "  skates.csv, line 3, character 6\n"
       "      S2,,,\"1,200\",2,club,265\n"
       "           ^^^^^^^\n"
       "  Try: write a sum, as in: 45.50 GBP.\n"},
      {"a price past any till's", "skates.csv",
       skates_head + "S1,,,10000000.01,2,club,265\nS2,,,10000000,2,club,265\nS3,,,99999999999999999999,2,club,265\n",
       "skates S2|||1000000000|2|club|265 mm\n"
       "skates.csv: 2 of 3 set aside\n"
       "stock-6: No till takes such a price.\n"
       "  skates.csv, line 2, character 6\n"
       "      S1,,,10000000.01,2,club,265\n"
       "           ^^^^^^^^^^^\n"
       "  Try: write one sum, of at most ten million.\n"
       "\n"
       "stock-5: '99999999999999999999' is no price.\n"
       "  skates.csv, line 4, character 6\n"
       "      S3,,,99999999999999999999,2,club,265\n"
       "           ^^^^^^^^^^^^^^^^^^^^\n"
       "  Try: write a sum, as in: 45.50 GBP.\n"},
      {"a negative count", "skates.csv", skates_head + "S1,,,99,-1,club,265\n",
       "skates.csv: 1 of 1 set aside\n"
       "stock-6: '-1' is no count of what is on hand.\n"
       "  skates.csv, line 2, character 9\n"
       "      S1,,,99,-1,club,265\n"
       "              ^^\n"
       "  Try: write a whole number from 0 up, as in: 3.\n"},
      {"a count of one and a half", "skates.csv", skates_head + "S1,,,99,1.5,club,265\n",
       "skates.csv: 1 of 1 set aside\n"
       "stock-6: '1.5' is no count of what is on hand.\n"
       "  skates.csv, line 2, character 9\n"
       "      S1,,,99,1.5,club,265\n"
       "              ^^^\n"
       "  Try: write a whole number from 0 up, as in: 3.\n"},
      {"a count that is blank, or is words, or is beyond belief", "skates.csv",
       skates_head + "S1,,,99,,club,265\nS2,,,99,some,club,265\nS3,,,99,1000001,club,265\n",
       "skates.csv: 3 of 3 set aside\n"
       "stock-4: The item's count on hand is blank.\n"
       "  skates.csv, line 2, character 9\n"
       "      S1,,,99,,club,265\n"
       "              ^\n"
       "  Try: fill it in: a whole number from 0 up, as in: 3.\n"
       "\n"
       "stock-6: 'some' is no count of what is on hand.\n"
       "  skates.csv, line 3, character 9\n"
       "      S2,,,99,some,club,265\n"
       "              ^^^^\n"
       "  Try: write a whole number from 0 up, as in: 3.\n"
       "\n"
       "stock-6: '1000001' is no count of what is on hand.\n"
       "  skates.csv, line 4, character 9\n"
       "      S3,,,99,1000001,club,265\n"
       "              ^^^^^^^\n"
       "  Try: write a whole number from 0 up, as in: 3.\n"},
      {"a range with its ends the wrong way round", "helmet.csv",
       helmet_head + "H1,,,40,1,ISO 10256-2,58-54 cm,2027-08-31,new\n",
       "helmet.csv: 1 of 1 set aside\n"
       "stock-5: '58-54 cm' is no head_girth.\n"
       "  helmet.csv, line 2, character 23\n"
       "      H1,,,40,1,ISO 10256-2,58-54 cm,2027-08-31,new\n"
       "                            ^^^^^^^^\n"
       "  Try: write a length or a range of it, as in: 265 mm, or 96-104 cm.\n"},
      {"a day that is none", "helmet.csv", helmet_head + "H1,,,40,1,ISO 10256-2,54-58 cm,31/08/2027,new\n",
       "helmet.csv: 1 of 1 set aside\n"
       "stock-5: '31/08/2027' is no day.\n"
       "  helmet.csv, line 2, character 32\n"
       "      H1,,,40,1,ISO 10256-2,54-58 cm,31/08/2027,new\n"
       "                                     ^^^^^^^^^^\n"
       "  Try: write a day, as in: 31 August 2027, or 2027-08-31.\n"},
      {"a condition that is blank, where it counts", "helmet.csv",
       helmet_head + "H1,,,40,1,ISO 10256-2,54-58 cm,2027-08-31,\n",
       "helmet.csv: 1 of 1 set aside\n"
       "stock-4: The item's condition is blank.\n"
       "  helmet.csv, line 2, character 43\n"
       "      H1,,,40,1,ISO 10256-2,54-58 cm,2027-08-31,\n"
       "                                                ^\n"
       "  Try: fill it in: one or more of new and used.\n"},
      {"a condition that is neither", "helmet.csv", helmet_head + "H1,,,40,1,ISO 10256-2,54-58 cm,2027-08-31,mint\n",
       "helmet.csv: 1 of 1 set aside\n"
       "stock-5: 'mint' is no condition.\n"
       "  helmet.csv, line 2, character 43\n"
       "      H1,,,40,1,ISO 10256-2,54-58 cm,2027-08-31,mint\n"
       "                                                ^^^^\n"
       "  Try: write one or more of new and used.\n"},
      {"the same item twice", "skates.csv",
       skates_head + "S1,,,99,2,club,265\nS1,,,99,3,club,265\nS2,,,99,2,club,265\n",
       "skates S2|||9900|2|club|265 mm\n"
       "skates.csv: 2 of 3 set aside\n"
       "stock-7: Item S1 stands twice.\n"
       "  skates.csv, line 3, character 1\n"
       "      S1,,,99,3,club,265\n"
       "      ^^\n"
       "  the first one: skates.csv, line 2, character 1\n"
       "      S1,,,99,2,club,265\n"
       "      ^^\n"
       "  Try: give each item one row, with all that is on hand; none of its rows is used.\n"},
      {"the same item three times", "skates.csv",
       skates_head + "S1,,,99,2,club,265\nS1,,,99,3,club,265\nS1,,,98,3,club,265\n",
       "skates.csv: 3 of 3 set aside\n"
       "stock-7: Item S1 stands twice.\n"
       "  skates.csv, line 3, character 1\n"
       "      S1,,,99,3,club,265\n"
       "      ^^\n"
       "  the first one: skates.csv, line 2, character 1\n"
       "      S1,,,99,2,club,265\n"
       "      ^^\n"
       "  Try: give each item one row, with all that is on hand; none of its rows is used.\n"
       "\n"
       "stock-7: Item S1 stands twice.\n"
       "  skates.csv, line 4, character 1\n"
       "      S1,,,98,3,club,265\n"
       "      ^^\n"
       "  the first one: skates.csv, line 2, character 1\n"
       "      S1,,,99,2,club,265\n"
       "      ^^\n"
       "  Try: give each item one row, with all that is on hand; none of its rows is used.\n"},
      {"a file that is no piece", "scarf.csv", "item,price,on hand\nS1,99,2\n",
       "scarf.csv: 1 of 1 set aside\n"
       "stock-2: 'scarf' is no piece of the policy, and no column says which piece each row is.\n"
       "  scarf.csv, line 1, character 1\n"
       "      item,price,on hand\n"
       "      ^^^^\n"
       "  Try: name the file after its piece, such as skates.csv, or give it a column called piece.\n"},
      {"a row that is no piece", "shelf.csv", "item,piece,price,on hand\nS1,skate,99,2\nS2,scarf,9,1\n",
       "shelf.csv: 2 of 2 set aside\n"
       "stock-5: 'skate' is no piece of the policy.\n"
       "  shelf.csv, line 2, character 4\n"
       "      S1,skate,99,2\n"
       "         ^^^^^\n"
       "  Try: perhaps skates is meant.\n"
       "\n"
       "stock-5: 'scarf' is no piece of the policy.\n"
       "  shelf.csv, line 3, character 4\n"
       "      S2,scarf,9,1\n"
       "         ^^^^^\n"
       "  Try: write one of helmet, skates, stick and tape.\n"},
      {"a piece of several that lacks its columns", "shelf.csv",
       "item,piece,price,on hand,rolls,mark\nT1,tape,4,9,2,\nS1,skates,99,2,,\nH1,helmet,40,1,,ISO 10256-2\n",
       "tape T1|||400|9|2\n"
       "shelf.csv: 2 of 3 set aside\n"
       "stock-4: The item's tier is not given.\n"
       "  shelf.csv, line 3, character 1\n"
       "      S1,skates,99,2,,\n"
       "      ^^\n"
       "  Try: add such a column.\n"
       "\n"
       "stock-4: The item's head_girth is not given.\n"
       "  shelf.csv, line 4, character 1\n"
       "      H1,helmet,40,1,,ISO 10256-2\n"
       "      ^^\n"
       "  Try: add such a column.\n"},
      {"a piece of several that lacks its date", "shelf.csv",
       "item,piece,price,on hand,rolls,mark,head girth,condition\nT1,tape,4,9,2,,,\nH1,helmet,40,1,,ISO 10256-2,54-58 "
       "cm,new\n",
       "tape T1|||400|9|2\n"
       "shelf.csv: 1 of 2 set aside\n"
       "stock-4: The item's certified until is not given.\n"
       "  shelf.csv, line 3, character 1\n"
       "      H1,helmet,40,1,,ISO 10256-2,54-58 cm,new\n"
       "      ^^\n"
       "  Try: add such a column.\n"},
      {"a column that is missing", "skates.csv", "item,make,model,price,tier\nS1,,,99,club\n",
       "skates.csv: 1 of 1 set aside\n"
       "stock-3: The column 'on hand' is missing.\n"
       "  skates.csv, line 1, character 1\n"
       "      item,make,model,price,tier\n"
       "      ^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
       "  Try: add it to the heading, and fill it in for every item.\n"
       "\n"
       "stock-3: The column 'size' is missing.\n"
       "  skates.csv, line 1, character 1\n"
       "      item,make,model,price,tier\n"
       "      ^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
       "  Try: add it to the heading, and fill it in for every item.\n"},
      {"a date and a condition that are missing", "helmet.csv",
       "item,price,on hand,mark,head girth\nH1,40,1,ISO 10256-2,54-58 cm\n",
       "helmet.csv: 1 of 1 set aside\n"
       "stock-3: The column 'certified until' is missing.\n"
       "  helmet.csv, line 1, character 1\n"
       "      item,price,on hand,mark,head girth\n"
       "      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
       "  Try: add it to the heading, and fill it in for every item.\n"
       "\n"
       "stock-3: The column 'condition' is missing.\n"
       "  helmet.csv, line 1, character 1\n"
       "      item,price,on hand,mark,head girth\n"
       "      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
       "  Try: add it to the heading, and fill it in for every item.\n"},
      {"two columns of one name", "skates.csv", "item,price,price,on hand,tier,size (mm)\nS1,99,98,2,club,265\n",
       "skates.csv: 1 of 1 set aside\n"
       "csv-4: Two columns are called 'price'.\n"
       "  skates.csv, line 1, character 12\n"
       "      item,price,price,on hand,tier,size (mm)\n"
       "                 ^^^^^\n"
       "  the first one: skates.csv, line 1, character 6\n"
       "      item,price,price,on hand,tier,size (mm)\n"
       "           ^^^^^\n"
       "  Try: give each column a name of its own.\n"},
      {"two columns that mean the same", "skates.csv",
       "item,price,on hand,tier,size (mm),Size (cm)\nS1,99,2,club,265,27\n",
       "skates.csv: 1 of 1 set aside\n"
       "stock-8: Two columns mean the same: 'size (mm)' and 'Size (cm)'.\n"
       "  skates.csv, line 1, character 35\n"
       "      item,price,on hand,tier,size (mm),Size (cm)\n"
       "                                        ^^^^^^^^^\n"
       "  the first one: skates.csv, line 1, character 25\n"
       "      item,price,on hand,tier,size (mm),Size (cm)\n"
       "                              ^^^^^^^^^\n"
       "  Try: keep the one that is right.\n"},
      {"a property by its own name, and with its piece's before it", "skates.csv",
       "item,price,on hand,tier,size (mm),skates tier\nS1,99,2,club,265,entry\n",
       "skates.csv: 1 of 1 set aside\n"
       "stock-8: Two columns mean the same: 'tier' and 'skates tier'.\n"
       "  skates.csv, line 1, character 35\n"
       "      item,price,on hand,tier,size (mm),skates tier\n"
       "                                        ^^^^^^^^^^^\n"
       "  the first one: skates.csv, line 1, character 20\n"
       "      item,price,on hand,tier,size (mm),skates tier\n"
       "                         ^^^^\n"
       "  Try: keep the one that is right.\n"},
      {"a row too short, and one too long", "skates.csv",
       skates_head + "S1,,,99,2,club\nS2,,,99,2,club,265,x\nS3,,,99,2,club,265\n",
       "skates S3|||9900|2|club|265 mm\n"
       "skates.csv: 2 of 3 set aside\n"
       "csv-3: This row has 6 cells, but the heading has 7.\n"
       "  skates.csv, line 2, character 1\n"
       "      S1,,,99,2,club\n"
       "      ^^^^^^^^^^^^^^\n"
       "  Try: give it a cell for each column, an empty one where there is nothing; put a cell that holds the "
       "separator in quotes.\n"
       "\n"
       "csv-3: This row has 8 cells, but the heading has 7.\n"
       "  skates.csv, line 3, character 1\n"
       "      S2,,,99,2,club,265,x\n"
       "      ^^^^^^^^^^^^^^^^^^^^\n"
       "  Try: give it a cell for each column, an empty one where there is nothing; put a cell that holds the "
       "separator in quotes.\n"},
      {"a quote that is never closed", "skates.csv", skates_head + "S1,,,99,2,club,265\nS2,\"Fell,,99,2,club,265\n",
       "skates S1|||9900|2|club|265 mm\n"
       "skates.csv: 1 of 2 set aside\n"
       "csv-1: This quote is never closed, so the rest of the file can't be read.\n"
       "  skates.csv, line 3, character 4\n"
       "      S2,\"Fell,,99,2,club,265\n"
       "         ^\n"
       "  Try: close it, or take it out.\n"},
      {"something after a closing quote", "skates.csv",
       skates_head + "S1,\"Fell\" x,,99,2,club,265\nS2,,,99,2,club,265\n",
       "skates S2|||9900|2|club|265 mm\n"
       "skates.csv: 1 of 2 set aside\n"
       "csv-2: Something stands after the closing quote.\n"
       "  skates.csv, line 2, character 11\n"
       "      S1,\"Fell\" x,,99,2,club,265\n"
       "                ^\n"
       "  Try: put the whole cell in quotes, and double each quote inside it.\n"},
      {"a heading that can't be read", "skates.csv",
       "item,\"make\" x,model,price,on hand,tier,size (mm)\nS1,,,99,2,club,265\n",
       "csv-2: Something stands after the closing quote.\n"
       "  skates.csv, line 1, character 13\n"
       "      item,\"make\" x,model,price,on hand,tier,size (mm)\n"
       "                  ^\n"
       "  Try: put the whole cell in quotes, and double each quote inside it.\n"},
      {"a file that is not UTF-8", "skates.csv", skates_head + "S1,F\xE9ll,,99,2,club,265\n",
       "file-4: The file is not UTF-8 text: byte 50 has the value 233.\n"
       "  skates.csv, line 2, character 5\n"
       "      S1,F\xE9ll,,99,2,club,265\n"
       "          ^\n"
       "  Try: save it as 'UTF-8' in the editor's save-as window and try again.\n"},
      {"an empty file", "skates.csv", "",
       "stock-3: This file is empty.\n"
       "  skates.csv, line 1, character 1\n"
       "      \n"
       "      ^\n"
       "  Try: give it a heading such as: item,make,model,price,on hand.\n"},
      {"a file of blank lines", "skates.csv", "\n\n\r\n",
       "stock-3: This file is empty.\n"
       "  skates.csv, line 1, character 1\n"
       "      \n"
       "      ^\n"
       "  Try: give it a heading such as: item,make,model,price,on hand.\n"},
  });
}

TEST_CASE("a byte of value 0 is no text") {
  const auto told = read({{"skates.csv", skates_head + std::string("S1,\0,,99,2,club,265\n", 20)}});
  CHECK(told.substr(0, told.find("\n      ")) ==
        "file-3: The file holds a byte of value 0, so it is not a text file.\n  skates.csv, line 2, character 4");
}

TEST_CASE("an item that stands in two files is used from neither") {
  CHECK(read({{"skates.csv", skates_head + "A7,,,99,2,club,265\nS2,,,99,2,club,265\n"},
              {"tape.csv", "price,on hand,rolls,item\n4,9,2,A7\n"}}) ==
        "skates S2|||9900|2|club|265 mm\n"
        "skates.csv: 1 of 2 set aside\n"
        "tape.csv: 1 of 1 set aside\n"
        "stock-7: Item A7 stands twice.\n"
        "  tape.csv, line 2, character 7\n      4,9,2,A7\n            ^^\n"
        "  the first one: skates.csv, line 2, character 1\n      A7,,,99,2,club,265\n      ^^\n"
        "  Try: give each item one row, with all that is on hand; none of its rows is used.\n");
}

TEST_CASE("a folder that holds no stock, and one that is not there") {
  namespace fs = std::filesystem;
  const tests::Folder around;
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
  const auto& policy = tests::shipped().policy();
  naive::Draw draw(20261101);
  std::vector<std::pair<std::string, std::string>> shipped;
  for (const auto& entry : fs::directory_iterator(lacestay::tests::in_policies("stock"))) {
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
    const auto stock = tests::stock_of(policy, {{name, text}});
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
