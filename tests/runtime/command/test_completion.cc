// What bash completes with the script that `lacestay --completion bash` prints: the script is read by a bash, which is
// asked as it asks itself when the tab key is pressed.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <sstream>

#include "runtime/command/command.hpp"
#include "tests/support/places.hpp"
#include "tests/support/program_folder.hpp"

namespace {

using namespace lacestay::tests;
namespace runtime = lacestay::runtime;

// A folder with a policy, players, stock and a file with a blank in its name.
class Desk : public ProgramFolder {
 public:
  Desk() : ProgramFolder(program()) {
    write("complete.bash", run("--completion bash").out);
    write("shop.fitting", "");
    write("shop.players",
          "players of \"shop.fitting\"\n\nplayer kim \"Kim, nine\"\n  age 9\n\nplayer kit_2\n  age 30\n");
    write("saturday shop.players", "");
    std::filesystem::create_directory(folder() / "stock");
  }

  // What the last of these words is completed to, sorted; the words as bash parts them.
  [[nodiscard]] std::string completed(const std::vector<std::string>& words) const {
    std::string quoted;
    for (const auto& word : words) quoted += fmt::format(" '{}'", word);
    // Outside of a completion there is no compopt.
    write("ask.bash", fmt::format("compopt() {{ :; }}\nsource ./complete.bash\nCOMP_WORDS=(lacestay{})\nCOMP_CWORD={}\n"
                                  "_lacestay\nprintf '%s\\n' \"${{COMPREPLY[@]}}\"\n",
                                  quoted, words.size()));
    const auto ran =
        std::system(fmt::format("cd '{}' && bash ask.bash > answer 2> trouble", folder().string()).c_str());
    CHECK(ran == 0);
    CHECK(read("trouble") == "");
    std::vector<std::string> lines;
    std::istringstream answer(read("answer"));
    for (std::string line; std::getline(answer, line);)
      if (!line.empty()) lines.push_back(line);
    std::sort(lines.begin(), lines.end());
    return fmt::format("{}", fmt::join(lines, "|"));
  }
};

TEST_CASE("bash completes commands, options, files, folders and players") {
  const Desk desk;
  CHECK(desk.completed({""}) == "advise|chart|compare|inspect|quote|rehearse|reopen");
  CHECK(desk.completed({"re"}) == "rehearse|reopen");
  CHECK(desk.completed({"--"}) == "--completion|--help|--version");
  CHECK(desk.completed({"chart", "shop.fitting", "--"}) == "--help|--json");
  CHECK(desk.completed({"quote", "--gi"}) == "--give-back");
  // A word in its place, whatever options stand before it.
  CHECK(desk.completed({"advise", "shop."}) == "shop.fitting|shop.players");
  CHECK(desk.completed({"advise", "--json", "--on", "2026-11-25", "shop.f"}) == "shop.fitting");
  CHECK(desk.completed({"advise", "shop.fitting", "sho"}) == "");
  CHECK(desk.completed({"compare", "shop.fitting", "shop.f"}) == "shop.fitting");
  CHECK(desk.completed({"rehearse", "shop.fitting", "shop.players", "sat"}) == "saturday shop.players");
  CHECK(desk.completed({"reopen", "3", "s"}) == "");
  // After an option, what it takes.
  CHECK(desk.completed({"advise", "shop.fitting", "--from", "shop.p"}) == "shop.players");
  CHECK(desk.completed({"advise", "shop.fitting", "--from", "=", "shop.p"}) == "shop.players");
  CHECK(desk.completed({"advise", "shop.fitting", "--from", "="}) ==
        "answer|ask.bash|complete.bash|saturday shop.players|shop.fitting|shop.players|stock|trouble");
  CHECK(desk.completed({"quote", "shop.fitting", "--stock", ""}) == "stock");
  CHECK(desk.completed({"quote", "shop.fitting", "--limit", "s"}) == "");
  CHECK(desk.completed({"chart", "shop.fitting", "--stock", "s"}) == "");  // no option of chart
  // The players of the file that --from names.
  CHECK(desk.completed({"advise", "shop.fitting", "--from", "shop.players", ""}) == "kim|kit_2");
  CHECK(desk.completed({"quote", "--from", "=", "shop.players", "shop.fitting", "kim", "kit"}) == "kit_2");
  CHECK(desk.completed({"advise", "--from", "shop.players", "sh"}) == "shop.fitting|shop.players");
  CHECK(desk.completed({"advise", "shop.fitting", "--from", "none.players", "k"}) == "");
}

TEST_CASE("every command's options are completed") {
  const Desk desk;
  for (const auto* command : runtime::commands()) {
    std::vector<std::string> names = {"--help"};
    for (const auto& option : runtime::options_of(*command)) names.push_back(option.name);
    std::sort(names.begin(), names.end());
    CHECK(desk.completed({command->name, "--"}) == fmt::format("{}", fmt::join(names, "|")));
  }
}

TEST_CASE("a shell for which there is no script is named") {
  const Desk desk;
  const auto ran = desk.run("--completion fish");
  CHECK(ran.code == 2);
  CHECK(ran.out == "");
  CHECK(ran.problems == "'fish' is no shell that is known here; there is: lacestay --completion bash\n");
}

}  // namespace
