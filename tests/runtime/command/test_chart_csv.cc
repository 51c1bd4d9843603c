// `lacestay chart --csv`: the charts as spreadsheets in a folder, and a policy that lets them stand there.
#include "tests/runtime/command/run_in_shop.hpp"
#include "tests/support/folder.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;

// The shop's policy with its only chart as it is after `gives stick curve`.
std::string shop_with(const std::string& chart) {
  std::string text = shop_text;
  const std::string grid = "\n  down hand\n    left:   left\n    right:  right\n";
  const auto at = text.find(grid);
  REQUIRE(at != std::string::npos);
  return text.replace(at, grid.size(), chart);
}

TEST_CASE("charts are written to a folder, once, and may stand there") {
  const Folder folder;
  folder.write("shop.fitting", shop_text);
  const Way here{.folder = folder.folder()};
  const auto wrote = run_lacestay({"chart", "shop.fitting", "--csv", "charts"}, here);
  CHECK(wrote.err == "");
  CHECK(wrote.code == 0);
  CHECK(wrote.out ==
        "charts/curve_chart.csv is written.\n\n"
        "To let a chart stand in its file: put the file into the policy's folder, take the chart's across, down\n"
        "and rows out of the policy, and name the file in its first line, as in:\n\n"
        "  chart curve_chart gives stick curve from \"curve_chart.csv\"\n");
  CHECK(folder.read("charts/curve_chart.csv") == "down hand,stick curve\nleft,left\nright,right\n");

  refused(run_lacestay({"chart", "shop.fitting", "--csv", "charts"}, here), 3,
          "'charts/curve_chart.csv' is there already, and is left as it is; name another file.\n");
  refused(run_lacestay({"chart", "shop.fitting", "curve_chart", "--csv", "other"}, here), 2,
          "With --csv every chart is written: name none.\n");
  refused(run_lacestay({"chart", "shop.fitting", "--csv", "shop.fitting/charts"}, here), 3,
          "'shop.fitting/charts' can't be made: Not a directory.\n");

  folder.write("moved.fitting", shop_with(" from \"charts/curve_chart.csv\"\n"));
  const auto before = run_lacestay({"chart", "shop.fitting"}, here),
             now = run_lacestay({"chart", "moved.fitting"}, here);
  CHECK(now.err == "");
  CHECK(now.out == before.out);
  CHECK(run_lacestay({"chart", "moved.fitting", "--csv", "again"}, here).out ==
        "curve_chart stands in charts/curve_chart.csv already.\n");
  const auto advised = [&](const std::string& policy, const std::string& hand) {
    return run_lacestay({"advise", policy, "age=30", "weight=80 kg", "skill=new", "hand=" + hand, "--json"}, here).out;
  };
  const auto in_cell = [](const std::string& json, const std::string& line) {
    return holds(json, "\"file\": \"charts/curve_chart.csv\",\n") && holds(json, "\"line\": " + line + ",\n") &&
           holds(json, "\"column\": \"B\"\n");
  };
  CHECK(in_cell(advised("moved.fitting", "left"), "2"));

  // Its bytes are the policy's: sealed, it answers without the file; and another file is another policy.
  REQUIRE(run_lacestay({"inspect", "moved.fitting", "--seal", "kept.sealed"}, here).code == 0);
  const auto sealed = folder.read("kept.sealed");
  folder.write("charts/curve_chart.csv", "down hand;stick curve\nleft;left\n\nright;right\n");
  REQUIRE(run_lacestay({"inspect", "moved.fitting", "--seal", "other.sealed"}, here).code == 0);
  CHECK(folder.read("other.sealed") != sealed);
  std::filesystem::remove(folder.folder() / "charts/curve_chart.csv");
  CHECK(in_cell(advised("kept.sealed", "right"), "3"));
  CHECK(in_cell(advised("other.sealed", "right"), "4"));
  refused(run_lacestay({"chart", "kept.sealed", "--csv", "more"}, here), 2,
          "Spreadsheets are written from a policy's own text, and 'kept.sealed' is sealed without it.\n"
          "  Try: name the file it was sealed from, which was called moved.fitting.\n");
}

TEST_CASE("a chart's spreadsheet is read within the policy's folder alone") {
  const Folder around;
  around.write("curve.csv", "down hand,\nleft,left\nright,right\n");
  std::filesystem::create_directory(around.folder() / "shop");
  std::filesystem::create_symlink("../curve.csv", around.folder() / "shop/curve.csv");
  around.write("shop/shop.fitting", shop_with(" from \"curve.csv\"\n"));
  const auto ran = run_lacestay({"chart", around / "shop/shop.fitting"});
  CHECK(ran.code == 1);
  CHECK(holds(ran.err, "parts-1: 'curve.csv' can't be read: it leads out of the policy's folder.\n"));
  std::filesystem::remove(around.folder() / "shop/curve.csv");
  around.write("shop/curve.csv", "down hand,\n" + std::string(4u << 20, '\n'));
  CHECK(holds(run_lacestay({"chart", around / "shop/shop.fitting"}).err,
              "file-2: The file has more than 4194304 bytes (4 MiB), which is the most that is read.\n"
              "  curve.csv, row 1, column A\n      \n      ^\n"
              "  Try: split the chart over several, each with a spreadsheet of its own.\n"));
}

TEST_CASE("slips are planted in spreadsheets as in the policy's text") {
  const Folder folder;
  folder.write("shop.fitting", shop_with(" from \"curve.csv\"\n"));
  folder.write("curve.csv", "\"down hand\",stick curve\n\"left\",\"left\"\nright,right\n");
  folder.write("shop.players", players_text);
  folder.write("plain.fitting", shop_text);
  const auto slips = [&](const std::string& policy) {
    return run_lacestay({"rehearse", policy, "shop.players", "--slips"}, {.folder = folder.folder()});
  };
  const auto in_sheet = slips("shop.fitting"), in_text = slips("plain.fitting");
  CHECK(in_sheet.err == in_text.err);
  CHECK(holds(in_sheet.out, "curve.csv, row 3: 'right' becomes 'left'"));
  CHECK(holds(in_text.out, "'right' becomes 'left'"));
}

}  // namespace
