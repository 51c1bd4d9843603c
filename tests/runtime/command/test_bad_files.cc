// The program, run on files that are no text, say nothing, are too long, missing or oddly named; and with an output
// that ends early.
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "tests/runtime/command/run_in_shop.hpp"
#include "tests/support/folder.hpp"

namespace {

using namespace lacestay::tests;
using Json = nlohmann::json;

TEST_CASE("a policy file that is no text, says nothing or is too long") {
  const Folder folder;
  const auto refusal = [&](const std::string& name, const std::string& text) {
    const auto path = folder.write(name, text);
    for (const auto* command : {"advise", "inspect", "chart"}) {
      const auto ran = run_lacestay({command, path});
      CHECK(ran.code == 1);
      CHECK(ran.out == "");
      CHECK(run_lacestay({"advise", path}).err == ran.err);
    }
    return run_lacestay({"advise", path}).err;
  };
  CHECK(refusal("latin.fitting", "policy \"caf\xe9\"\n")
            .rfind("file-4: The file is not UTF-8 text: byte 12 has the value 233.\n"
                   "  latin.fitting, line 1, character 12\n"
                   "      policy \"caf",
                   0) == 0);
  CHECK(refusal("surrogate.fitting", "policy \"\xED\xA0\x80\"\n")
            .rfind("file-4: The file is not UTF-8 text: byte 9 has the value 237.\n", 0) == 0);
  CHECK(refusal("cut.fitting", "policy \"caf\xC3")
            .rfind("file-4: The file is not UTF-8 text: byte 12 has the value 195.\n", 0) == 0);
  CHECK(refusal("nul.fitting", std::string("policy \"x\0y\"\n", 13))
            .rfind("file-3: The file holds a byte of value 0, so it is not a text file.\n", 0) == 0);
  CHECK(refusal("empty.fitting", "").rfind("file-1: ", 0) == 0);
  CHECK(refusal("blank.fitting", " \n\t\n# nothing\n").rfind("file-1: ", 0) == 0);
  CHECK(refusal("mark.fitting", "\xEF\xBB\xBF").rfind("file-1: ", 0) == 0);
  const std::string line = "# a comment that says nothing, again and again\n";
  std::string long_text = shop_text;
  while (long_text.size() < (5u << 20)) long_text += line;
  CHECK(refusal("long.fitting", long_text).rfind("file-2: ", 0) == 0);
  // Up to the limit it is read.
  long_text.resize(4u << 20);
  CHECK(run_lacestay({"advise", folder.write("just.fitting", long_text), "age=9"}).code == 0);
}

TEST_CASE("brackets nested past the limit, and without end") {
  const Folder folder;
  const auto nested = [&](std::size_t depth) {
    const auto text = std::string(shop_text) + "work out deep = " + std::string(depth, '(') + "weight" +
                      std::string(depth, ')') + "\n";
    return run_lacestay({"advise", folder.write("nested.fitting", text), "age=9"});
  };
  CHECK(nested(16).code == 0);
  for (const std::size_t depth : {std::size_t{17}, std::size_t{1'000}, std::size_t{1'000'000}}) {
    INFO(depth);
    const auto ran = nested(depth);
    CHECK(ran.code == 1);
    CHECK(ran.out == "");
    CHECK(ran.err.rfind(
              "limits-1: The formula is nested more than 16 deep here.\n  nested.fitting, line 36, character ", 0) ==
          0);
  }
}

TEST_CASE("a players file that is no text or says nothing is not understood") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto told = [&](const std::string& path) {
    const auto ran = run_lacestay({"rehearse", shop, path});
    const auto from = run_lacestay({"advise", shop, "--from", path, "kim"});
    CHECK(ran.code == 2);
    CHECK(ran.out == "");
    CHECK(from.code == 2);
    CHECK(from.out == "");
    CHECK(from.err == ran.err);
    return ran.err;
  };
  const auto latin = folder.write("latin.players", "player kim \"caf\xe9\"\n");
  CHECK(told(latin).rfind(fmt::format("file-4: {}: The file is not UTF-8 text: byte 16 has the value 233.\n", latin),
                          0) == 0);
  const auto nul = folder.write("nul.players", std::string("player kim\0\n", 12));
  CHECK(told(nul).rfind(fmt::format("file-3: {}: The file holds a byte of value 0", nul), 0) == 0);
  CHECK(told(folder.write("empty.players", "")).rfind("file-1: ", 0) == 0);
  const auto large = folder.write("large.players", "player kim\n" + std::string(5u << 20, ' '));
  CHECK(told(large).rfind(fmt::format("file-2: {}: ", large), 0) == 0);
  const auto spaces = folder.write("large.json", "{\"age\": 9}" + std::string(5u << 20, ' '));
  const auto json = run_lacestay({"advise", shop, "--player", spaces});
  CHECK(json.code == 2);
  CHECK(json.err.rfind(fmt::format("file-2: {}: ", spaces), 0) == 0);
  // More on standard input than is ever read: it ends, and says so.
  const auto endless = run_lacestay({"advise", shop, "--player", "-"}, {std::string(9u << 20, ' ')});
  CHECK(endless.code == 2);
  CHECK(endless.err.rfind("file-2: -: ", 0) == 0);
}

TEST_CASE("files that are missing, or folders") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto missing = folder / "missing", itself = folder / ".";
  for (const auto* command : {"advise", "inspect", "chart"}) {
    refused(
        run_lacestay({command, missing}), 3,
        fmt::format("file-5: '{}' can't be read: there is no such file.\n  Try: check the file's name.\n", missing));
    refused(run_lacestay({command, itself}), 3,
            fmt::format("file-5: '{}' can't be read: it is a folder.\n  Try: check the file's name.\n", itself));
  }
  for (const auto& words : std::vector<std::vector<std::string>>{
           {"advise", shop, "--player"}, {"advise", shop, "kim", "--from"}, {"rehearse", shop}}) {
    auto with = words;
    with.push_back(missing);
    refused(run_lacestay(with), 3, fmt::format("'{}' can't be read: there is no such file.\n", missing));
    with.back() = itself;
    refused(run_lacestay(with), 3, fmt::format("'{}' can't be read: it is a folder.\n", itself));
  }
  const auto many = run_lacestay({"advise", shop, "--many", missing});
  CHECK(many.code == 3);
  CHECK(many.out == "");
  CHECK(many.err.rfind(fmt::format("'{}' can't be read: ", missing), 0) == 0);
  CHECK(run_lacestay({"advise", shop, "--many", itself}).code == 3);
  // A part that is missing is the policy's own fault, told at its line.
  const auto part = folder.write(
      "part.fitting", std::string(shop_text) + "along with \"gone.fitting\"\nalong with \"../outside.fitting\"\n");
  const auto ran = run_lacestay({"advise", part});
  CHECK(ran.code == 1);
  CHECK(ran.out == "");
  CHECK(
      holds(ran.err,
            "parts-1: 'gone.fitting' can't be read: there is no such file.\n  part.fitting, line 36, character 13\n"));
  CHECK(holds(ran.err,
              "parts-2: '../outside.fitting' does not lie in the policy's own folder.\n  part.fitting, line 37, "
              "character 13\n"));
}

TEST_CASE("a file whose name is no UTF-8 is as good as any other") {
  const Folder folder;
  const auto shop = folder.write("caf\xe9.fitting", shop_text);
  const auto players = folder.write("\xe9.players", players_text);
  for (const auto& words : std::vector<std::vector<std::string>>{{"advise", shop, "age=9", "--json"},
                                                                 {"chart", shop, "--json"},
                                                                 {"inspect", shop, "--json"},
                                                                 {"rehearse", shop, players, "--json"}}) {
    const auto ran = run_lacestay(words);
    INFO(words.front());
    CHECK(ran.code == 0);
    CHECK(Json::accept(ran.out));
  }
  CHECK(run_lacestay({"advise", shop, "age=9"}).code == 0);
  CHECK(run_lacestay({"advise", shop, "--many", "-"}, {"{\"age\": 9}\n"}).code == 0);
}

TEST_CASE("an output that is closed early is told, and no crash") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  std::string lines;
  for (int i = 0; i < 3'000; ++i) lines += "{\"age\": 9}\n";
  const auto ran = run_lacestay({"advise", shop, "--many", folder.write("many", lines)}, {"", 10});
  CHECK(ran.code == 3);
  CHECK(ran.out == "{\"line\":1,");
  CHECK(ran.err == "The output could not be written: Broken pipe.\n");
  const auto full = run_program({"sh", "-c", "exec \"$0\" \"$@\" >/dev/full", program(), "advise", shop, "age=9"});
  CHECK(full.code == 3);
  CHECK(full.err == "The output could not be written: No space left on device.\n");
}

}  // namespace
