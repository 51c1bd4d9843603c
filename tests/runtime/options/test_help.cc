// What is said to who asks how: help of the program and of each command, and what is answered to words that are none.
// Every option that a command's table declares is held to its help, and each help's example is run.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <sstream>

#include "grammar/text/source.hpp"
#include "runtime/command/commands.hpp"
#include "tests/support/places.hpp"
#include "tests/support/program_folder.hpp"

namespace {

using namespace lacestay::tests;
namespace runtime = lacestay::runtime;

// A folder with the shipped policies in it, as the checkout has them, and a daybook.
class Shop : public ProgramFolder {
 public:
  Shop() { std::filesystem::create_directory_symlink(in_checkout("policies"), folder() / "policies"); }
};

// "2: what was said", where nothing was printed.
std::string refused(const ProgramFolder& shop, const std::string& words) {
  const auto ran = shop.run(words);
  INFO(words);
  CHECK(ran.out == "");
  return fmt::format("{}: {}", ran.code, ran.err);
}

TEST_CASE("the program's help lists the commands, a line each") {
  const Shop shop;
  CHECK(shop.said("--help") ==
        R"(lacestay reads a shop's fitting policy and says what a player should leave with, and why.

What it can be asked:
  advise             what a player should leave with, and why
  inspect            proves that every player gets one answer, or shows who does not
  chart              the policy's tables, as they would hang on the wall
  rehearse           whether sample players leave with what their file says
  compare            for whom two editions of a policy answer otherwise, and why
  quote              the best kit from the shop's stock; sells it, or takes a sale back
  reopen             what was advised or quoted, months later, out of the daybook

Each says more of itself, with all its options: lacestay quote --help

Beside that:
  --help             this help
  --version          which lacestay this is
  --completion bash  a script by which bash completes what you type: source <(lacestay --completion
                     bash)

To begin, try the shipped policy:
  lacestay advise policies/northgate.fitting --from policies/saturday.players saturday_beginner
The language is described in grammar/reference.md.
)");
  for (const auto* words : {"", "help", "--json --help"}) CHECK(shop.said(words) == shop.said("--help"));
  CHECK(shop.said("--version") == "lacestay 0.1.0\n");
}

TEST_CASE("a command's help shows that command alone") {
  const Shop shop;
  CHECK(shop.said("quote --help") ==
        R"(The best kit the shop can hand over today from its stock files, line by line, with what would have
come next and a proof that none is better.

It is written:
  lacestay quote POLICY DETAIL=VALUE ... --stock FOLDER  quotes, and with --take sells
  lacestay quote --stock FOLDER --give-back SALE         undoes a sale

  POLICY               the shop's policy, or one kept with inspect --seal
  DETAIL=VALUE         what is known of the player, such as: age=9 weight="4 st 10 lb"; with --from,
                       the names of players

Who it is for:
  --from FILE.players  take sample players from this file, by name
  --player FILE.json   the player's details, from a file
  --owns PIECE,PIECE   what the player has already

What is sold:
  --stock FOLDER       the shop's stock files (CSV)
  --limit SUM          what the customer can spend, such as "400 GBP"
  --take               sells the kit: each item's count falls by one, on record
  --give-back SALE     undoes the sale of that number: its items are back in stock

What comes out:
  --html FILE          the page a customer takes home
  --json               the quote for programs, as JSON
  --on DATE            the quote of that day, not of today

For the record:
  --daybook FILE       put what is answered on record in this daybook (or name it in
                       LACESTAY_DAYBOOK, once for all)
  --served-by NAME     who served, for the daybook

For example:
  lacestay quote policies/northgate.fitting --stock policies/stock \
      --from policies/saturday.players saturday_beginner
)");
  // However it is asked for.
  for (const auto* words : {"help quote", "quote --stock --help", "quote a.fitting age=9 --help --jsno"})
    CHECK(shop.said(words) == shop.said("quote --help"));
}

TEST_CASE("each help names every option and word its table declares, in lines of 100, and its example works") {
  const Shop shop;
  (void)shop.run(
      "quote policies/northgate.fitting --from policies/saturday.players saturday_beginner --stock policies/stock "
      "--on 2026-11-25 --daybook shop.daybook");
  for (const auto* command : runtime::commands()) {
    const auto help = shop.said(command->name + " --help");
    INFO(help);
    for (const auto& option : runtime::options_of(*command))
      CHECK(help.find(fmt::format("\n  {}{} ", option.name, option.value.empty() ? "" : " " + option.value)) !=
            std::string::npos);
    for (const auto& word : command->words) CHECK(help.find("\n  " + word.name + " ") != std::string::npos);
    for (const auto& way : command->ways) {
      CHECK(help.find("\n  lacestay " + command->name + " " + way.written) != std::string::npos);
      if (!way.by.empty()) CHECK(way.written.find(way.by) != std::string::npos);
    }
    std::istringstream lines(help);
    for (std::string line; std::getline(lines, line);) CHECK(lacestay::grammar::characters(line) <= 100);
    const auto last = "\n\nFor example:\n  " + command->example + "\n";
    CHECK(help.substr(help.size() - last.size()) == last);
    REQUIRE(command->example.rfind("lacestay ", 0) == 0);
    const bool of_a_day = command->name == "advise" || command->name == "quote";
    const auto ran = shop.run(command->example.substr(9) + (of_a_day ? " --on 2026-11-25" : ""));
    CHECK(ran.code == (command->name == "compare" ? 1 : 0));
    CHECK(ran.out != "");
    CHECK(ran.err == "");
  }
}

TEST_CASE("an option may stand anywhere, with its value after it or joined to it") {
  const Shop shop;
  const auto usual = shop.said("chart policies/northgate.fitting flex_chart neck_guard");
  // A command's name is a word like any other behind another command; after -- none is an option.
  CHECK(refused(shop, "chart policies/northgate.fitting quote") ==
        "2: The policy has no piece, property, chart or rule called 'quote'.\n");
  CHECK(shop.said("chart -- policies/northgate.fitting flex_chart neck_guard") == usual);
  CHECK(refused(shop, "advise -- -x") ==
        "3: file-5: '-x' can't be read: there is no such file.\n  Try: check the file's "
        "name.\n");
  const auto quoted = shop.said(
      "quote policies/northgate.fitting --from policies/saturday.players saturday_beginner "
      "--stock policies/stock --limit '900 GBP' --on 2026-11-25");
  CHECK(shop.said("quote --limit='900 GBP' --on=2026-11-25 policies/northgate.fitting --stock=policies/stock "
                  "saturday_beginner --from policies/saturday.players") == quoted);
  // Nothing after `=` is an empty value, and not the next word.
  CHECK(shop.said("quote --owns= policies/northgate.fitting saturday_beginner --stock policies/stock --on 2026-11-25 "
                  "--from=policies/saturday.players --limit '900 GBP'") == quoted);
  // A value may begin with a dash, and so may a word that is a number; one in brackets stays whole.
  CHECK(refused(shop, "quote policies/northgate.fitting age=9 --stock policies/stock --limit -5") ==
        "2: '-5' is no limit; write it as in: --limit \"400 GBP\"\n");
  CHECK(refused(shop, "advise policies/northgate.fitting -5") ==
        "2: '-5' is no detail; write it as in: weight=\"30 kg\"\n");
  CHECK(refused(shop, "advise policies/northgate.fitting '[age,weight]'") ==
        "2: '[age,weight]' is no detail; write it as in: weight=\"30 kg\"\n");
}

TEST_CASE("words that are none are answered with a guess and a line, never with the whole help") {
  const Shop shop;
  const std::string of_program = "\nlacestay --help lists the commands.\n";
  const std::string of_quote = "\nlacestay quote --help shows its options.\n";
  CHECK(refused(shop, "quoet") == "2: There is no command 'quoet'; try quote." + of_program);
  CHECK(refused(shop, "quoet --help") == "2: There is no command 'quoet'; try quote." + of_program);
  CHECK(refused(shop, "help quoet") == "2: There is no command 'quoet'; try quote." + of_program);
  CHECK(refused(shop, "--verson") == "2: There is no option --verson; try --version." + of_program);
  CHECK(refused(shop, "-v") == "2: There is no option -v." + of_program);
  CHECK(refused(shop, "quote a.fitting --giveback 3") ==
        "2: There is no option --giveback; try --give-back." + of_quote);
  CHECK(refused(shop, "quote a.fitting --hepl") == "2: There is no option --hepl; try --help." + of_quote);
  CHECK(refused(shop, "quote a.fitting -j age=9") == "2: There is no option -j." + of_quote);
  CHECK(refused(shop, "quote a.fitting --zzzzzz=9 --json") == "2: There is no option --zzzzzz." + of_quote);
  CHECK(refused(shop, "quote a.fitting --take=yes") == "2: The option --take takes no value.\n");
  CHECK(refused(shop, "quote a.fitting --stock") == "2: The option --stock wants a value after it.\n");
  CHECK(refused(shop, "quote a.fitting --on 1 --on 2") == "2: The option --on is given twice.\n");
  CHECK(refused(shop, "--completion") == "2: The option --completion wants a value after it.\n");
}

TEST_CASE("what does not go together is told of before any file is read") {
  const Shop shop;
  struct Row {
    const char *words, *said;
  };
  const auto give_back = "Write: lacestay quote --stock FOLDER --give-back SALE, and --daybook FILE if need be\n";
  for (const auto& [words, told] : std::initializer_list<Row>{
           {"advise no.fitting --many no.jsonl age=9", "With --many, everything about a player stands on his line.\n"},
           {"advise no.fitting --many no.jsonl --html x",
            "With --many, everything about a player stands on his line.\n"},
           {"advise --many no.jsonl", "Which policy? Write: lacestay advise POLICY DETAIL=VALUE ...\n"},
           {"advise no.fitting --player a --from b", "Players come from one of --player, --from and --many.\n"},
           {"advise no.fitting --json --html x", "An advice is written either as --json or as --html.\n"},
           {"chart no.fitting stick --json", "With --json every table is written: name none.\n"},
           {"inspect a.fitting b.fitting", "Which policy? Write: lacestay inspect POLICY\n"},
           {"compare a.fitting", "Which two editions? Write: lacestay compare OLD NEW\n"},
           {"compare a.fitting b.fitting c.fitting", "Which two editions? Write: lacestay compare OLD NEW\n"},
           {"rehearse --write-edges x",
            "Which policy, and which players? Write: lacestay rehearse POLICY FILE.players\n"},
           {"quote", "Which policy? Write: lacestay quote POLICY DETAIL=VALUE ... --stock FOLDER\n"},
           {"quote no.fitting", "Which stock? Write: lacestay quote POLICY DETAIL=VALUE ... --stock FOLDER\n"},
           {"quote no.fitting --stock x --json --take", "A kit that is taken is told of in words: leave --json out.\n"},
           {"quote --give-back 3", give_back},
           {"quote no.fitting --stock x --give-back 3", give_back},
           {"quote --stock x --give-back 3 --limit 4", give_back},
           {"reopen d 1 2", "Which daybook? Write: lacestay reopen DAYBOOK [ENTRY]\n"},
           {"reopen d --on 2026-11-25", "--on does not go with listing entries.\n"},
           {"reopen d 1 --on 2026-11-25", "--on is the day of --under: what another policy says on that day.\n"},
           {"reopen d --forget 1 --json", "--json does not go with --forget.\n"},
           {"reopen d --keep-for '400 days' 1", "--keep-for stands without an entry before it.\n"},
       })
    CHECK(refused(shop, words) == fmt::format("2: {}", told));
}

}  // namespace
