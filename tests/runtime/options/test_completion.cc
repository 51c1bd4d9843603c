// What bash completes with the script that `lacestay --completion bash` prints: the script is read by a bash, which is
// asked as it asks itself when the tab key is pressed.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <sstream>

#include "runtime/command/commands.hpp"
#include "tests/support/places.hpp"
#include "tests/support/program_folder.hpp"

namespace {

using namespace lacestay::tests;
namespace runtime = lacestay::runtime;

// A folder with players, in a file with a blank in its name too.
class Desk : public ProgramFolder {
 public:
  Desk() {
    write("complete.bash", run("--completion bash").out);
    write("shop.players",
          "players of \"shop.fitting\"\n\nplayer kim \"Kim, nine\"\n  age 9\n\nplayer kit_2\n  age 30\n");
    write("saturday shop.players", "player lou\n");
  }

  // What the last of these words is completed to, sorted; the words as bash parts them. Where bash is left to complete
  // a file or a folder itself, "(default)" or "(dirnames)", as its compopt calls that; outside of a completion there is
  // no compopt.
  [[nodiscard]] std::string completed(const std::vector<std::string>& words) const {
    std::string quoted;
    for (const auto& word : words) quoted += fmt::format(" '{}'", word);
    write("ask.bash",
          fmt::format("compopt() {{ echo \"($2)\"; }}\nsource ./complete.bash\nCOMP_WORDS=(lacestay{})\nCOMP_CWORD={}\n"
                      "_lacestay\nprintf '%s\\n' \"${{COMPREPLY[@]}}\"\n",
                      quoted, words.size()));
    const auto ran =
        run_program({"bash", "ask.bash"}, {.folder = folder(), .environment = {"HOME=" + folder().string()}});
    CHECK(ran.code == 0);
    CHECK(ran.err == "");
    std::vector<std::string> lines;
    std::istringstream answer(ran.out);
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
  CHECK(desk.completed({"chart", "shop.fitting", "--"}) == "--csv|--help|--json");
  CHECK(desk.completed({"quote", "--gi"}) == "--give-back");
  // A word in its place, whatever options stand before it.
  CHECK(desk.completed({"advise", "sho"}) == "(default)");
  CHECK(desk.completed({"advise", "--json", "--on", "2026-11-25", "sho"}) == "(default)");
  CHECK(desk.completed({"advise", "--on", "=", "2026-11-25", "sho"}) == "(default)");
  CHECK(desk.completed({"advise", "shop.fitting", "sho"}) == "");
  CHECK(desk.completed({"compare", "shop.fitting", "sho"}) == "(default)");
  CHECK(desk.completed({"rehearse", "shop.fitting", "shop.players", "sat"}) == "(default)");
  CHECK(desk.completed({"reopen", "shop.daybook", "3", "s"}) == "");
  // After an option, what it takes.
  CHECK(desk.completed({"advise", "shop.fitting", "--from", "sho"}) == "(default)");
  CHECK(desk.completed({"advise", "shop.fitting", "--from", "=", "sho"}) == "(default)");
  CHECK(desk.completed({"advise", "shop.fitting", "--from", "="}) == "(default)");
  CHECK(desk.completed({"quote", "shop.fitting", "--stock", ""}) == "(dirnames)");
  CHECK(desk.completed({"quote", "shop.fitting", "--limit", "s"}) == "");
  CHECK(desk.completed({"chart", "shop.fitting", "--stock", "s"}) == "");  // no option of chart
  // The players of the file that --from names, as it is typed.
  CHECK(desk.completed({"advise", "shop.fitting", "--from", "shop.players", ""}) == "kim|kit_2");
  CHECK(desk.completed({"quote", "--from", "=", "shop.players", "shop.fitting", "kim", "kit"}) == "kit_2");
  CHECK(desk.completed({"advise", "shop.fitting", "--from", "saturday\\ shop.players", ""}) == "lou");
  CHECK(desk.completed({"advise", "shop.fitting", "--from", "~/shop.players", "kim"}) == "kim");
  CHECK(desk.completed({"advise", "--from", "shop.players", "k"}) == "(default)");
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
  CHECK(ran.err == "'fish' is no shell that is known here; there is: lacestay --completion bash\n");
}

}  // namespace
