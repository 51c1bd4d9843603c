// Tables as spreadsheets save them. What is read is checked against RFC 4180's own examples where it has them.
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "grammar/text/csv.hpp"

namespace {

using namespace lacestay::grammar;

// Cells between bars, rows between line ends, problems after.
std::string read(const std::string& text) {
  const Source source("kit.csv", text);
  Diagnostics problems;
  const auto table = read_csv(source, problems);
  std::string out;
  const auto add = [&](const std::vector<CsvCell>& cells) {
    for (const auto& cell : cells) out += "|" + cell.text;
    out += "|\n";
  };
  add(table.heading);
  for (const auto& row : table.rows) add(row.cells);
  for (const auto& problem : problems.sorted()) out += render(problem);
  return out;
}

TEST_CASE("a table is read as a spreadsheet means it") {
  const std::vector<std::pair<std::string, std::string>> rows = {
      // RFC 4180, section 2, rules 1 to 7.
      {"aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", "|aaa|bbb|ccc|\n|zzz|yyy|xxx|\n"},
      {"aaa,bbb,ccc\r\nzzz,yyy,xxx", "|aaa|bbb|ccc|\n|zzz|yyy|xxx|\n"},
      {"\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", "|aaa|bbb|ccc|\n|zzz|yyy|xxx|\n"},
      {"\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx", "|aaa|b\r\nbb|ccc|\n|zzz|yyy|xxx|\n"},
      {"\"aaa\",\"b\"\"bb\",\"ccc\"\n", "|aaa|b\"bb|ccc|\n"},
      // What spreadsheets add to it.
      {"a;b\n1,5;2\n", "|a|b|\n|1,5|2|\n"},
      {"a\tb\n1\t2\n", "|a|b|\n|1|2|\n"},
      {"\xEF\xBB\xBF"
       "a,b\n 1 , 2\n\n3,4\n",
       "|a|b|\n|1|2|\n|3|4|\n"},
      {"a,b\n1,\n", "|a|b|\n|1||\n"},
      {"a,b\n1,2,,\n", "|a|b|\n|1|2|\n"},
      {"a,b\n,\n1,2\n,,\n", "|a|b|\n|1|2|\n"},
      {"", "|\n"},
  };
  for (const auto& [text, expected] : rows) {
    INFO(text);
    CHECK(read(text) == expected);
  }
}

TEST_CASE("what can't be read costs its row, and is told") {
  CHECK(read("a,b\n1\n2,3\n") ==
        "|a|b|\n|2|3|\n"
        "csv-3: This row has 1 cells, but the heading has 2.\n"
        "  kit.csv, line 2, character 1\n      1\n      ^\n"
        "  Try: give it a cell for each column, an empty one where there is nothing; put a cell that holds the "
        "separator in quotes.\n");
  CHECK(read("a,b\n\"1\" x,2\n3,4\n") ==
        "|a|b|\n|3|4|\n"
        "csv-2: Something stands after the closing quote.\n"
        "  kit.csv, line 2, character 5\n      \"1\" x,2\n          ^\n"
        "  Try: put the whole cell in quotes, and double each quote inside it.\n");
  CHECK(read("a,b\n1,2\n3,\"4\n5,6\n") ==
        "|a|b|\n|1|2|\n"
        "csv-1: This quote is never closed, so the rest of the file can't be read.\n"
        "  kit.csv, line 3, character 3\n      3,\"4\n        ^\n"
        "  Try: close it, or take it out.\n");
  CHECK(read("a,\"b\" x\n1,2\n") ==
        "|\n"
        "csv-2: Something stands after the closing quote.\n"
        "  kit.csv, line 1, character 7\n      a,\"b\" x\n            ^\n"
        "  Try: put the whole cell in quotes, and double each quote inside it.\n");
  CHECK(read("a,a\n1,2\n") ==
        "|a|a|\n|1|2|\n"
        "csv-4: Two columns are called 'a'.\n"
        "  kit.csv, line 1, character 3\n      a,a\n        ^\n"
        "  the first one: kit.csv, line 1, character 1\n      a,a\n      ^\n"
        "  Try: give each column a name of its own.\n");
}

TEST_CASE("without a heading each row has the cells it has") {
  const Source source("grid.csv", ",,\n a ;x,b\n\n,c,\n");
  Diagnostics problems;
  std::string out;
  for (const auto& row : read_csv_rows(source, problems)) {
    out += std::to_string(row.line()) + ":";
    for (const auto& cell : row.cells) out += "|" + cell.text;
    out += "|\n";
  }
  CHECK(out == "2:|a ;x|b|\n4:||c||\n");
  CHECK(problems.empty());
}

TEST_CASE("a column is called as spreadsheets call it") {
  struct Row {
    std::string text, at, letters;  // the column that the text `at` begins in
  };
  std::string wide = "x";
  for (int i = 0; i < 702; ++i) wide += "," + std::string(i == 701 ? "last" : "");
  const std::vector<Row> rows = {
      {"a,b,c\n", "a", "A"},
      {"a,b,c\n", "c", "C"},
      {"h,\nb,c\n", "c", "B"},
      {"h;i\nb,c;d\n", "d", "B"},
      {"h\ti\nb,c\td\n", "d", "B"},
      {"\"a,b\",c\n", "c", "B"},
      {"\"a\"\",\"\"b\",c\n", "c", "B"},
      {"5\" a,c\n", "c", "B"},
      {"\xEF\xBB\xBF\"a,b\",c\n", "c", "B"},
      {"h,i\r\n,\"x\"\r\n", "x", "B"},
      {"h,i\n\"x, y\",z\n", "y", "A"},
      {std::string(25, ',') + "z,aa", "z", "Z"},
      {std::string(25, ',') + "z,aa", "aa", "AA"},
      {wide, "last", "AAA"},
  };
  for (const auto& [text, at, letters] : rows) {
    INFO(text << at);
    const Source source("grid.csv", text, Source::Shape::sheet);
    const auto begin = static_cast<std::uint32_t>(text.rfind(at));
    CHECK(column_letters({&source, begin, begin + 1}) == letters);
  }
}

}  // namespace
