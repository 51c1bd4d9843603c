// Charts written as spreadsheets: a policy whose charts stand in them has the same tables as before, and another
// program that reads and writes CSV finds and keeps the same cells.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "grammar/read/sheet.hpp"
#include "grammar/text/csv.hpp"
#include "runtime/chart/chart_sheets.hpp"
#include "runtime/seal/sealed_policy.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/process.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using nlohmann::json;

// All that a policy says, but for where it says it.
json without_places(json document) {
  if (document.is_object()) {
    for (const auto* place : {"span", "whom", "sources", "sha256"}) document.erase(place);
    if (document.contains("entries")) document["entries"] = document["entries"].size();
  }
  for (auto& part : document)
    if (part.is_structured()) part = without_places(std::move(part));
  return document;
}

json said(const compiler::Policy& policy) { return without_places(json::parse(runtime::seal(policy))); }

// The policy's files with the grid of every chart taken out, and each chart's first line naming a spreadsheet; those
// that stand in one already are left.
std::vector<naive::TextFile> moved_out(const compiler::Policy& policy) {
  std::vector<naive::TextFile> files;
  for (const auto& file : grammar::read_again(policy.sources)) {
    std::string text(file.source->text());
    for (auto item = file.items.rbegin(); item != file.items.rend(); ++item) {
      const auto* chart = std::get_if<grammar::Chart>(&item->form);
      if (!chart || chart->sheet) continue;
      std::vector<grammar::Span> lines;
      for (const auto& row : chart->rows) lines.push_back(row.span);
      if (chart->across) lines.push_back(chart->across->span);
      if (chart->down) lines.push_back(chart->down->span);
      std::sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) { return a.begin > b.begin; });
      for (const auto& span : lines) {
        const auto begin =
            chart->down && span.begin == chart->down->span.begin ? text.rfind("down", span.begin) : span.begin;
        text.erase(begin, span.end - begin);
      }
      text.insert(item->head.end, fmt::format(" from \"{}.csv\"", chart->name.text));
    }
    files.push_back({file.source->name(), text});
  }
  for (const auto& source : policy.sources)
    if (source->is_sheet()) files.push_back({source->name(), std::string(source->text())});
  for (const auto& sheet : runtime::sheets_of(policy))
    if (sheet.stands_in.empty()) files.push_back({sheet.chart + ".csv", sheet.csv});
  return files;
}

std::shared_ptr<const compiler::Policy> compiled(const std::vector<naive::TextFile>& files) {
  auto made = tests::compile_files(files);
  INFO(render(made.diagnostics));
  REQUIRE(made.policy);
  return made.policy;
}

TEST_CASE("the shipped policy says the same with every chart in a spreadsheet") {
  const auto policy = tests::shipped_policy("northgate.fitting");
  const auto sheets = runtime::sheets_of(*policy);
  CHECK(sheets.size() > 20);
  const auto moved = compiled(moved_out(*policy));
  CHECK(said(*moved) == said(*policy));
  for (const auto& sheet : runtime::sheets_of(*moved)) CHECK(sheet.stands_in == sheet.chart + ".csv");
  CHECK(moved->sources.size() == policy->sources.size() + sheets.size());
}

TEST_CASE("generated policies say the same with every chart in a spreadsheet") {
  std::size_t charts = 0;
  for (const auto seed : tests::Seeds(1, tests::whole() ? 1000 : 150)) {
    const auto made = tests::compile_files(naive::generate(seed).files);
    if (!made.policy) continue;
    INFO("seed " << seed);
    for (const auto& sheet : runtime::sheets_of(*made.policy)) charts += sheet.stands_in.empty() ? 1 : 0;
    REQUIRE(said(*compiled(moved_out(*made.policy))) == said(*made.policy));
  }
  if (!tests::one_seed()) CHECK(charts > 100);
}

TEST_CASE("what a chart looks like as a spreadsheet") {
  const auto policy = tests::policy_of("p.fitting", R"(policy "Shop"
edition 1, in force from 1 September 2026
ask weight 12 to 180 kg
ask skill grades new, improving, league
piece stick always
  flex band 20 to 110 flex step 5 flex
  length 40 to 60 in step ½ in
  toe choice round, square
chart flex_chart gives stick flex   # the maker's
  across  weight   under 60 kg,   # light
                   the rest
  down skill
    new, improving:   20 to  30 flex,   # to begin with
                      40 to 55
    league:       30 to 40 flex,  50 flex to 65 flex
  because "It bends."
chart length_chart gives stick.length
  down weight
    under 60 kg:  40½
    the rest:     5 ft
chart toe_chart gives stick toe
  across skill: new or improving, league
  round, square
)");
  std::string out;
  for (const auto& sheet : runtime::sheets_of(*policy))
    out += fmt::format("[{}] {}\n{}", sheet.chart, sheet.head, sheet.csv);
  CHECK(out ==
        "[flex_chart] chart flex_chart gives stick flex\n"
        "across weight,under 60 kg,the rest\ndown skill,,\nnew or improving,20 to 30 flex,40 to 55\n"
        "league,30 to 40 flex,50 flex to 65 flex\n"
        "[length_chart] chart length_chart gives stick.length\n"
        "\xEF\xBB\xBF"
        "down weight,stick.length\nunder 60 kg,40½\nthe rest,5 ft\n"
        "[toe_chart] chart toe_chart gives stick toe\n"
        "across skill,new or improving,league\n,round,square\n");
  CHECK(said(*compiled(moved_out(*policy))) == said(*policy));
}

// What SQLite's shell reads of the file, cell by cell; and how it writes it.
struct Foreign {
  std::vector<std::vector<std::string>> cells;
  std::string csv;
};
Foreign through_sqlite(const std::string& csv, std::size_t columns, const tests::Folder& folder) {
  folder.write("chart.csv", csv);
  std::string names;
  for (std::size_t i = 0; i < columns; ++i) names += fmt::format("{}c{:04}", i ? ", " : "", i);
  const auto run = [&](const std::string& mode) {
    const auto ran =
        tests::run_program({"sqlite3", ":memory:", "create table t(" + names + ")", ".import --csv chart.csv t",
                            ".mode " + mode, "select * from t order by rowid"},
                           {.folder = folder.folder()});
    REQUIRE(ran.err == "");
    return ran.out;
  };
  Foreign read{{}, run("csv")};
  for (const auto& row : json::parse(run("json"))) {
    read.cells.emplace_back();
    for (const auto& cell : row) read.cells.back().push_back(cell.is_null() ? "" : cell.get<std::string>());
  }
  return read;
}

TEST_CASE("a CSV library from outside reads the same cells, and what it writes is the same chart") {
  const tests::Folder folder;
  const auto policy = tests::shipped_policy("northgate.fitting");
  auto files = moved_out(*policy);
  std::size_t sheets = 0;
  for (auto& file : files) {
    if (!file.name.ends_with(".csv")) continue;
    INFO(file.name);
    const grammar::Source source(file.name, file.text, grammar::Source::Shape::sheet);
    grammar::Diagnostics problems;
    std::vector<std::vector<std::string>> cells;
    for (const auto& row : grammar::read_csv_rows(source, problems)) {
      cells.emplace_back();
      for (const auto& cell : row.cells) cells.back().push_back(cell.text);
    }
    REQUIRE(problems.empty());
    const auto foreign = through_sqlite(file.text, cells.front().size(), folder);
    CHECK(foreign.cells == cells);
    file.text = foreign.csv;
    ++sheets;
  }
  CHECK(sheets > 20);
  CHECK(said(*compiled(files)) == said(*policy));
}

}  // namespace
