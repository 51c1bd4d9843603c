// What can't be read of the shop's spreadsheets: the whole of what a person is told, and what is read all the same.
#include "tests/runtime/stock/spreadsheets.hpp"
#include "tests/support/policy/compiled.hpp"

namespace {

using namespace lacestay::tests;

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

TEST_CASE("where the policy says no currency, that is what keeps prices from being read") {
  const auto policy = policy_of("small.fitting",
                                "policy \"Small shop\"\nedition 1, in force from 1 September 2026\n"
                                "piece bag optional\nrule worth_having\n  suggest bag\n");
  CHECK(render(stock_of(*policy, {{"bag.csv", "item,price,on hand\nB1,20,2\nB2,,2\n"}}).problems.sorted()) ==
        "stock-5: '20' is no price: the policy does not say what its money is.\n"
        "  bag.csv, line 2, character 4\n      B1,20,2\n         ^^\n"
        "  Try: add a line to the policy, such as: money GBP.\n"
        "\n"
        "stock-4: The item's price is blank.\n"
        "  bag.csv, line 3, character 4\n      B2,,2\n         ^\n"
        "  Try: fill it in: a sum, as in: 45.50.\n");
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

}  // namespace
