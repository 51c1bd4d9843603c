// lacestay inspect for programs: the same form whatever is found, of a text that is no policy too.
#include <nlohmann/json.hpp>

#include "tests/runtime/command/run_in_shop.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/program_folder.hpp"
#include "tests/support/schema_check.hpp"

namespace {

using namespace lacestay::tests;
using Json = nlohmann::json;

const std::string head =
    "policy \"Corner shop\"\nedition 1, in force from 1 September 2026\nask age 4 to 90 years, whole\n"
    "piece stick always\n  toe choice round, square\n";
const std::string whole = head + "rule usual_toe\n  set stick toe to round\n";
const std::string with_gap = whole + "  for age under 18\n";

void follows_schema(const std::string& out) {
  const auto schema = Json::parse(bytes_of(in_checkout("runtime/command/inspected.schema.json")));
  CHECK(schema_faults(schema, Json::parse(out)) == std::vector<std::string>{});
}

TEST_CASE("what is wrong with a policy's text is told to programs as what the proof finds is") {
  const ProgramFolder shop;
  shop.write("shop.fitting",
             head + "rule usual_toe\n  set stick toe to oval\nrule usual_toe\n  caution \"Hold it.\"\n");
  const auto ran = shop.run("inspect shop.fitting --json");
  CHECK(ran.code == 1);
  CHECK(ran.err == "");
  CHECK(ran.out == R"({
  "format": 1,
  "policy": null,
  "edition": null,
  "proved": false,
  "findings": [
    {
      "code": "names-4",
      "message": "'oval' is not one of stick toe's own: round and square.",
      "place": {
        "file": "shop.fitting",
        "line": 7,
        "character": 20,
        "end_line": 7,
        "end_character": 24
      },
      "notes": [],
      "hint": "write one of them",
      "ready_text": null,
      "players": []
    },
    {
      "code": "names-2",
      "message": "There are two rules or charts called 'usual_toe'.",
      "place": {
        "file": "shop.fitting",
        "line": 8,
        "character": 6,
        "end_line": 8,
        "end_character": 15
      },
      "notes": [
        {
          "text": "the first one",
          "place": {
            "file": "shop.fitting",
            "line": 6,
            "character": 1,
            "end_line": 6,
            "end_character": 15
          }
        }
      ],
      "hint": "give one of them another name",
      "ready_text": null,
      "players": []
    }
  ],
  "remarks": [],
  "left_out": 0,
  "sealed": null
}
)");
  follows_schema(ran.out);
}

TEST_CASE("a refused text leaves the last good edition where it was, and says so") {
  const ProgramFolder shop;
  shop.write("shop.fitting", whole);
  const auto kept = Json::parse(shop.said("inspect shop.fitting --json --seal kept.sealed")).at("sealed").at("holds");
  const auto bytes = shop.read("kept.sealed");
  shop.write("shop.fitting", head + "rule usual_toe\n  set stick toe to oval\n");
  const auto ran = shop.run("inspect shop.fitting --json --seal kept.sealed");
  CHECK(ran.code == 1);
  CHECK(ran.err == "");
  CHECK(Json::parse(ran.out).at("sealed") ==
        Json{{"file", "kept.sealed"}, {"written", false}, {"holds", kept}, {"held_before", kept}});
  follows_schema(ran.out);
  CHECK(shop.read("kept.sealed") == bytes);
}

TEST_CASE("what is proved, what is refused by the proof, and a seal that is broken have the same form") {
  const ProgramFolder shop;
  shop.write("shop.fitting", whole);
  shop.write("gap.fitting", with_gap);
  REQUIRE(shop.run("inspect shop.fitting --seal kept.sealed").code == 0);
  shop.write("broken.sealed", shop.read("kept.sealed").replace(shop.read("kept.sealed").find("Corner"), 6, "corner"));
  struct Row {
    const char* file;
    int code;
    std::vector<std::string> findings;
  };
  for (const auto& row : {Row{"shop.fitting", 0, {}}, Row{"kept.sealed", 0, {}}, Row{"gap.fitting", 1, {"proof-1"}},
                          Row{"broken.sealed", 1, {"sealed-1"}}}) {
    INFO(row.file);
    const auto ran = shop.run(std::string("inspect --json ") + row.file);
    CHECK(ran.code == row.code);
    CHECK(ran.err == "");
    follows_schema(ran.out);
    const auto found = Json::parse(ran.out);
    CHECK(found.at("proved") == (row.code == 0));
    std::vector<std::string> codes;
    for (const auto& each : found.at("findings")) codes.push_back(each.at("code"));
    CHECK(codes == row.findings);
  }
  // What can't be read is no policy, and nothing is found in it.
  refused(shop.run("inspect --json nowhere.fitting"), 3,
          "file-5: 'nowhere.fitting' can't be read: there is no such file.\n  Try: check the file's name.\n");
}

}  // namespace
