// The last good edition through the command line: a file that is written when a policy is proved, left when it is not,
// and that stands for the policy in every command. Whole texts, as a shop's owner reads them.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "runtime/seal/sealed_policy.hpp"
#include "tests/runtime/seal/damage.hpp"
#include "tests/runtime/seal/policies.hpp"
#include "tests/support/places.hpp"
#include "tests/support/program_folder.hpp"

namespace {

namespace fs = std::filesystem;
using namespace lacestay::tests;
using Json = nlohmann::json;

using Shop = ProgramFolder;

void same(const Ran& ran, int code, const std::string& out, const std::string& err = "") {
  CHECK(ran.code == code);
  CHECK(ran.out == out);
  CHECK(ran.err == err);
}

std::string edition(int number, const std::string& rule) {
  return fmt::format(
      "policy \"Corner shop\"\nedition {}, in force from 1 September {}\nmoney GBP\nask age 4 to 90 years, whole\n"
      "piece stick always\n  toe choice round, square\n{}",
      number, 2024 + number, rule);
}
const std::string usual = "rule usual_toe\n  set stick toe to round\n";
const std::string only_young = "rule usual_toe\n  set stick toe to round\n  for age under 18\n";

// The first twelve digits of what a file's document is known by.
std::string fingerprint(const Shop& shop, const std::string& file) {
  return lacestay::runtime::sha256_in(shop.read(file)).substr(0, 12);
}

TEST_CASE("a proved policy is sealed, and a refused one leaves the edition before in its place") {
  const Shop shop;
  const std::string proved =
      "Corner shop, edition {}: proved. Every player gets an answer, and never two, in 1 property of 1 piece; 0 make "
      "sure lines hold.\n";

  shop.write("shop.fitting", edition(1, usual));
  auto ran = shop.run("inspect shop.fitting --seal kept.sealed");
  const auto first = fingerprint(shop, "kept.sealed");
  REQUIRE(first.size() == 12);
  const auto remarks = ran.out.find("remark") == std::string::npos ? "" : ran.out.substr(ran.out.find('\n') + 1);
  const auto told = [&](int number) {
    auto text = fmt::format(fmt::runtime(proved), number);
    if (!remarks.empty()) text += remarks.substr(0, remarks.find('\n') + 1);
    return text;
  };
  same(ran, 0,
       told(1) +
           fmt::format("Sealed in kept.sealed: Corner shop, edition 1, in force from 1 September 2025 ({}).\n", first));
  same(shop.run("inspect shop.fitting --seal kept.sealed"), 0,
       told(1) + fmt::format("Sealed in kept.sealed: Corner shop, edition 1, in force from 1 September 2025 ({}).\n"
                             "It held just that before.\n",
                             first));

  // A gap: the proof refuses edition 2.
  shop.write("shop.fitting", edition(2, only_young));
  const auto before = shop.read("kept.sealed");
  ran = shop.run("inspect shop.fitting --seal kept.sealed");
  CHECK(ran.code == 1);
  CHECK(ran.err == "");
  CHECK(ran.out.rfind("proof-1: Nothing answers stick toe where age at least 18 years. For instance: age ", 0) == 0);
  const auto still = fmt::format(
      "kept.sealed still holds Corner shop, edition 1, in force from 1 September 2025 ({}): what is pointed at it goes "
      "on with that.\n",
      first);
  CHECK(ran.out.find("\nshop.fitting gives no advice until this is mended.\n") != std::string::npos);
  CHECK(ran.out.substr(ran.out.size() - still.size()) == still);
  CHECK(shop.read("kept.sealed") == before);
  CHECK(shop.names() == std::vector<std::string>{"kept.sealed", "shop.fitting"});

  // What does not compile: the same, on standard error.
  shop.write("shop.fitting", edition(2, "rule usual_toe\n  set stick toe to oval\n"));
  ran = shop.run("inspect shop.fitting --seal kept.sealed");
  CHECK(ran.code == 1);
  CHECK(ran.out == "");
  CHECK(ran.err.rfind("names-4: ", 0) == 0);
  CHECK(ran.err.substr(ran.err.size() - still.size()) == still);
  CHECK(shop.read("kept.sealed") == before);

  // And what is pointed at the file goes on.
  const auto advice = shop.run("advise kept.sealed age=30 --on 2025-10-01 --json");
  CHECK(advice.code == 0);
  CHECK(Json::parse(advice.out).at("edition") == 1);

  shop.write("shop.fitting", edition(2, usual));
  ran = shop.run("inspect shop.fitting --seal kept.sealed");
  const auto second = fingerprint(shop, "kept.sealed");
  same(ran, 0,
       told(2) + fmt::format("Sealed in kept.sealed: Corner shop, edition 2, in force from 1 September 2026 ({}).\n"
                             "Before, it held edition 1, in force from 1 September 2025 ({}).\n",
                             second, first));
  shop.write("shop.fitting", edition(2, usual + "  because \"Learn on it.\"\n"));
  ran = shop.run("inspect shop.fitting --seal kept.sealed");
  same(ran, 0,
       told(2) + fmt::format("Sealed in kept.sealed: Corner shop, edition 2, in force from 1 September 2026 ({}).\n"
                             "Before, it held another wording of edition 2, in force from 1 September 2026 ({}).\n",
                             fingerprint(shop, "kept.sealed"), second));
}

TEST_CASE("for programs, inspect says what the file holds now and held before") {
  const Shop shop;
  shop.write("shop.fitting", edition(1, usual));
  CHECK(Json::parse(shop.run("inspect shop.fitting --json").out).at("sealed") == nullptr);
  const auto first = Json::parse(shop.run("inspect shop.fitting --json --seal kept.sealed").out).at("sealed");
  const Json one = {
      {"policy", "Corner shop"}, {"edition", 1}, {"sha256", lacestay::runtime::sha256_in(shop.read("kept.sealed"))}};
  CHECK(first == Json{{"file", "kept.sealed"}, {"written", true}, {"holds", one}, {"held_before", nullptr}});
  shop.write("shop.fitting", edition(2, only_young));
  const auto ran = shop.run("inspect shop.fitting --json --seal kept.sealed");
  CHECK(ran.code == 1);
  CHECK(Json::parse(ran.out).at("sealed") ==
        Json{{"file", "kept.sealed"}, {"written", false}, {"holds", one}, {"held_before", one}});
}

TEST_CASE("what the file must not be, and what is said where nothing is kept") {
  const Shop shop;
  shop.write("shop.fitting", edition(1, usual));
  shop.write("gap.fitting", edition(1, only_young));
  shop.write("kim.json", "{\"age\": 9}");
  for (const auto* other : {"shop.fitting", "gap.fitting", "kim.json"}) {
    const auto was = shop.read(other);
    same(shop.run(fmt::format("inspect shop.fitting --seal {}", other)), 3, "",
         fmt::format("'{}' holds something that is no sealed policy, and is left as it is; name another file.\n",
                     other));
    CHECK(shop.read(other) == was);
  }
  auto ran = shop.run("inspect gap.fitting --seal kept.sealed");
  const std::string nothing = "kept.sealed is not written: only a policy that is proved is sealed.\n";
  CHECK(ran.code == 1);
  CHECK(ran.out.substr(ran.out.size() - nothing.size()) == nothing);
  CHECK(shop.names() == std::vector<std::string>{"gap.fitting", "kim.json", "shop.fitting"});
  ran = shop.run("inspect shop.fitting --seal no_such_folder/kept.sealed");
  CHECK(ran.code == 3);
  CHECK(ran.err == "'no_such_folder/kept.sealed' can't be written: No such file or directory.\n");
  CHECK(shop.run("inspect shop.fitting --seal .").code == 3);

  // One that was changed: refused by every command, told of by a refused policy, and sealed over by a proved one.
  REQUIRE(shop.run("inspect shop.fitting --seal kept.sealed").code == 0);
  auto changed = shop.read("kept.sealed");
  changed.replace(changed.find("\"edition\":1"), 11, "\"edition\":7");
  shop.write("kept.sealed", changed);
  const std::string why = "it was changed after it was sealed: its fingerprint does not fit it";
  for (const auto* command : {"advise {}", "inspect {}", "chart {}", "quote {} age=9 --stock ."})
    same(shop.run(fmt::format(fmt::runtime(command), "kept.sealed")), 1, "",
         fmt::format("sealed-1: 'kept.sealed' is a sealed policy that is not used: {}.\n  Try: seal the policy again "
                     "from its own file: lacestay inspect POLICY --seal kept.sealed.\n",
                     why));
  ran = shop.run("inspect gap.fitting --seal kept.sealed");
  const auto left = fmt::format("kept.sealed is left as it was, but can't be used: {}.\n", why);
  CHECK(ran.out.substr(ran.out.size() - left.size()) == left);
  CHECK(shop.read("kept.sealed") == changed);
  ran = shop.run("inspect shop.fitting --seal kept.sealed");
  const auto over = fmt::format("What it held before could not be used: {}.\n", why);
  CHECK(ran.code == 0);
  CHECK(ran.out.substr(ran.out.size() - over.size()) == over);

  auto later = lacestay::runtime::SealedJson::parse(shop.read("kept.sealed"));
  later["format"] = lacestay::runtime::sealed_format + 1;
  shop.write("later.sealed", sealed_again(later));
  same(shop.run("advise later.sealed age=9"), 1, "",
       "sealed-1: 'later.sealed' is a sealed policy that is not used: it is written in form 5, this lacestay reads "
       "forms 1 to 4.\n  Try: seal the policy again from its own file: lacestay inspect POLICY --seal later.sealed.\n");
}

TEST_CASE("a sealed file stands for the policy in every command") {
  const Shop shop;
  const std::string policies = in_policies("");
  const auto plain = policies + "northgate.fitting", players = policies + "saturday.players";
  REQUIRE(shop.run("inspect " + plain + " --seal kept.sealed").code == 0);
  const auto stock = " --stock " + policies + "stock --on 2026-11-25";
  const std::vector<std::string> everything = {
      "advise {} --from " + players + " saturday_beginner big_newcomer --on 2026-11-25",
      "inspect {} --remarks",
      "inspect {} --json",
      "chart {}",
      "chart {} --json",
      "chart {} stick",
      "rehearse {} " + players,
      "rehearse {} " + players + " --json" + stock,
      "rehearse {} " + players + " --untouched",
      "quote {} --from " + players + " saturday_beginner" + stock,
      "quote {} --from " + players + " saturday_beginner --limit 300 --json" + stock};
  for (const auto& words : everything) {
    INFO(words);
    const auto before = shop.run(fmt::format(fmt::runtime(words), plain));
    const auto now = shop.run(fmt::format(fmt::runtime(words), "kept.sealed"));
    CHECK(before.out.size() > 20);
    CHECK(before.code == now.code);
    CHECK((before.out == now.out));
    CHECK(before.err == now.err);
  }
  for (const auto& words : {"compare kept.sealed " + plain, "compare " + plain + " kept.sealed"}) {
    const auto ran = shop.run(words);
    CHECK(ran.code == 0);
    CHECK(ran.out.find("No answer changes for any player.") != std::string::npos);
  }
  const auto edition_3 = policies + "northgate_edition_3.fitting";
  const auto sealed = shop.run("compare " + edition_3 + " kept.sealed --json");
  const auto direct = shop.run("compare " + edition_3 + " " + plain + " --json");
  CHECK(sealed.code == 1);
  auto one = Json::parse(sealed.out), other = Json::parse(direct.out);
  for (auto* each : {&one, &other}) (*each)["now"].erase("file");
  CHECK((one == other));

  // What is done to the policy's own text can't be done to a sealed one.
  for (const auto& words : {"rehearse kept.sealed " + players + " --slips",
                            "rehearse kept.sealed " + players + " --write-missing more.players",
                            std::string("rehearse kept.sealed --write-edges edges.players")})
    same(shop.run(words), 2, "",
         "Slips are planted in a policy's own text, and 'kept.sealed' is sealed without it.\n  Try: name the file it "
         "was "
         "sealed from, which was called northgate.fitting.\n");
  CHECK(shop.names() == std::vector<std::string>{"kept.sealed"});

  // By what it holds, not by its name; and sealed again it is the same.
  shop.write("any.name", shop.read("kept.sealed"));
  CHECK(shop.run("inspect any.name --seal again.sealed").code == 0);
  CHECK((shop.read("again.sealed") == shop.read("kept.sealed")));
}

}  // namespace
