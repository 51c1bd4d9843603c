// Charts in spreadsheets: the same tree as the same chart in a policy, whatever the spreadsheet program saved; each
// part with its place in the file.
#include <catch2/catch.hpp>

#include "grammar/read/reader.hpp"
#include "grammar/read/sheet.hpp"
#include "tests/grammar/read/dump.hpp"

namespace {

using namespace lacestay;
using grammar::Source;

struct Sheet {
  explicit Sheet(const std::string& csv) : source("flex.csv", csv, Source::Shape::sheet) {
    grammar::Diagnostics diagnostics;
    const auto policy = std::make_shared<Source>("p.fitting", "chart c gives stick flex");
    file = grammar::read(policy, diagnostics);
    grammar::read_sheet(source, chart(), diagnostics);
    told = render(diagnostics.sorted());
  }
  grammar::Chart& chart() { return std::get<grammar::Chart>(file.items.front().form); }
  [[nodiscard]] std::string tree() const { return tests::dump(file.items.front()); }

  Source source;
  grammar::File file;
  std::string told;
};

std::string tree_of(const std::string& policy) {
  grammar::Diagnostics diagnostics;
  const auto file = grammar::read(std::make_shared<Source>("p.fitting", policy), diagnostics);
  CHECK(render(diagnostics.sorted()) == "");
  return tests::dump(file.items.front());
}

struct Same {
  const char* csv;
  const char* lines;  // of the chart in a policy
};

const Same both_ways[] = {
    {"down weight,\nunder 27 kg,20 to 30 flex\nthe rest,30 to 40 flex\n",
     "\n  down weight\n    under 27 kg: 20 to 30 flex\n    the rest: 30 to 40 flex"},
    {"across weight,under 60 kg,at most 6 st 4 lb,the rest\n,entry,club,top\n",
     "\n  across weight under 60 kg, at most 6 st 4 lb, the rest\n    entry, club, top"},
    {"across weight,under 60 kg,the rest\ndown skill,,\nnew,entry,club\n\"league, elite\",club,top\n",
     "\n  across weight under 60 kg, the rest\n  down skill\n    new: entry, club\n    league, elite: club, top"},
    // The order of the two axes is free, as it is in a policy.
    {"down skill,,\nacross weight,under 60 kg,the rest\nnew,entry,club\n",
     "\n  down skill\n  across weight under 60 kg, the rest\n    new: entry, club"},
    // Details and members of several words; capitals; members joined with or; a colon that somebody left.
    {"Across foot length,under 200 mm,The Rest\nDown playing level:,,\nNew or improving player:,1,2\n",
     "\n  across foot length: under 200 mm, the rest\n  down playing level\n    new or improving player: 1, 2"},
    // Bare numbers, fractions, feet and inches, days.
    {"down born;\nbefore 1 May 2010;40½\nbefore 2012-01-01;5 ft 4 in\nthe rest;3/4 to 1 in\n",
     "\n  down born\n    before 1 May 2010: 40½\n    before 2012-01-01: 5 ft 4 in\n    the rest: 3/4 to 1 in"},
    // Members of a column's head may stand with a comma in quotes: the cell ends it.
    {"across skill,\"new, improving\",league\n,a,b\n", "\n  across skill new or improving, league\n    a, b"},
    // Semicolons, tabs, quotes, a byte-order mark, Windows and old Macintosh line ends, empty lines, padding.
    {"down weight;\nunder 27 kg;a\nthe rest;b\n", "\n  down weight\n    under 27 kg: a\n    the rest: b"},
    {"down weight\tstick flex\nunder 27 kg\ta\nthe rest\tb\n", "\n  down weight\n    under 27 kg: a\n    the rest: b"},
    {"\xEF\xBB\xBF\"down weight\",\"Stick flex\"\r\n\"under 27 kg\",\"a\"\r\n\r\n,,\r\nthe rest,b,,,\r\n",
     "\n  down weight\n    under 27 kg: a\n    the rest: b"},
    {"\"down weight\",,,\r  under 27 kg  , a ,\rthe rest,b", "\n  down weight\n    under 27 kg: a\n    the rest: b"},
    // No-break spaces, and a remark in a cell, as in a policy.
    {"down weight,\nunder 27\xC2\xA0kg,\xC2\xA0"
     "a # as the maker has it\nthe rest,b\n",
     "\n  down weight\n    under 27 kg: a\n    the rest: b"},
};

TEST_CASE("a chart in a spreadsheet is the same chart") {
  for (const auto& [csv, lines] : both_ways) {
    INFO(csv);
    const Sheet sheet(csv);
    CHECK(sheet.told == "");
    CHECK(sheet.tree() == tree_of(std::string("chart c gives stick flex") + lines));
  }
}

TEST_CASE("each part keeps its place in the file") {
  Sheet sheet("across weight,\"under 60 kg\",the rest\ndown skill,,\n\"new, improving\",entry,\"20 to 30\"\n");
  REQUIRE(sheet.told == "");
  const auto& chart = sheet.chart();
  CHECK(chart.across->heads[0].span.text() == "under 60 kg");
  CHECK(chart.across->detail.span.text() == "weight");
  CHECK(chart.across->span.text() == "across weight,\"under 60 kg\",the rest");
  CHECK(chart.down->span.text() == "skill");
  CHECK(chart.rows[0].head.members[1].span.text() == "improving");
  CHECK(grammar::span_of(chart.rows[0].cells[1]).text() == "20 to 30");
  CHECK(chart.rows[0].span.text() == "\"new, improving\",entry,\"20 to 30\"");
  Problem problem{"charts-0", "Here.", "", grammar::span_of(chart.rows[0].cells[1])};
  CHECK(render(problem) ==
        "charts-0: Here.\n  flex.csv, row 3, column C\n      \"new, improving\",entry,\"20 to 30\"\n"
        "                              ^^^^^^^^\n");
}

TEST_CASE("a table that begins with an axis is a chart's") {
  for (const auto* text :
       {"down weight,\n", "across skill,new\n", "\xEF\xBB\xBF\"Down weight\";\r\n", "\n,,\n across x"}) {
    INFO(text);
    CHECK(grammar::begins_as_sheet(text));
  }
  for (const auto* text : {"", "\n", "item,make,down\n", "downhill,item\n", "down_payment,item\n", "crossways\n"}) {
    INFO(text);
    CHECK_FALSE(grammar::begins_as_sheet(text));
  }
}

}  // namespace
