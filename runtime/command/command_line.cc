#include "runtime/command/command_line.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <iostream>

#include "compiler/check/compile.hpp"
#include "compiler/values/names.hpp"
#include "grammar/read/reader.hpp"
#include "runtime/chart/findings.hpp"
#include "runtime/seal/sealed_policy.hpp"

namespace lacestay::runtime {

namespace fs = std::filesystem;

namespace {

constexpr const char* what_it_is =
    "lacestay reads a shop's fitting policy and says what a player should leave with, and why.\n"
    "\n"
    "  lacestay advise POLICY DETAIL=VALUE ...     advise one player, such as: age=9 weight=\"4 st 10 lb\"\n"
    "  lacestay advise POLICY --player FILE.json   the same, details from a file\n"
    "  lacestay advise POLICY --from FILE.players NAME ...   sample players by name\n"
    "  lacestay advise POLICY --many FILE          one player a line in, one advice a line out (JSON); - is\n"
    "                                              standard input\n"
    "      --json          the advice as JSON      --html FILE   a page to print\n"
    "      --on DATE       advise as of that day   --owns A,B    pieces the player has already\n"
    "  lacestay inspect POLICY                     prove that every player gets one answer, or show who does not;\n"
    "                                              --remarks shows what decides nothing; --json for programs\n"
    "      --seal FILE     keep the proved policy in one file, which stands for a POLICY anywhere here; one that is\n"
    "                      refused leaves FILE as it was\n"
    "  lacestay chart POLICY [NAME ...]            the policy's tables as wall charts; --json for programs\n"
    "  lacestay rehearse POLICY FILE.players ...   whether sample players leave with what their file says;\n"
    "                                              --json for programs\n"
    "      --stock FOLDER  what their file says of items and totals too, from the shop's stock; --on DATE\n"
    "      --untouched     the charts, with what no sample player touches marked, and players who would touch it\n"
    "      --slips         small slips planted in the policy, one at a time: which ones the players notice\n"
    "      --write-missing FILE   a few players who notice the rest\n"
    "      --write-edges FILE     players just under, at and just over every edge that matters, to read and keep;\n"
    "                             started from sample players where any are named\n"
    "  lacestay compare OLD NEW                    for whom two editions answer otherwise, exactly, and why; --json "
    "for\n"
    "                                              programs\n"
    "      --html FILE     a page to print, with the changes on the wall charts and drawn as maps\n"
    "      --people FILE   how many of these people that changes, and which (CSV, or a JSON object a line)\n"
    "  lacestay quote POLICY DETAIL=VALUE ... --stock FOLDER   the best kit the shop can hand over today, from its\n"
    "                                              stock files (CSV); --player and --from as for advise\n"
    "      --limit SUM     what the customer can spend\n"
    "      --take          sell the kit: each item's count falls by one, and the sale is recorded\n"
    "      --give-back N   undo sale N (lacestay quote --stock FOLDER --give-back N)\n"
    "      --json          the quote as JSON       --html FILE   a page to print for the customer\n"
    "      --on DATE       as of that day          --owns A,B    pieces the player has already\n"
    "  advise and quote also take --daybook FILE (or the environment's LACESTAY_DAYBOOK), which records what they\n"
    "  answer, and --served-by NAME\n"
    "  lacestay reopen DAYBOOK [ENTRY]             the entries, or one: what was said, why, and whether it is said "
    "again\n"
    "      --day DATE, --first-day DATE, --last-day DATE, --piece NAME, --item NUMBER, --rule NAME   which of them; "
    "--all\n"
    "      --under POLICY  what another policy would have said, and which rules make the difference\n"
    "      --json          for programs            --html FILE   the customer's page once more\n"
    "      --handed-over WHAT --by NAME --why TEXT   what the fitter gave instead, beside an entry\n"
    "      --verify        whether every entry is as it was written, and none is missing\n"
    "      --forget ENTRY  erase what an entry holds   --keep-for \"400 days\"   erase what is older\n"
    "      --summary       rules that did the work, answers near an edge; --csv FILE for a spreadsheet\n";

constexpr const char* what_next =
    "\n"
    "To begin, try the shipped policy:\n"
    "  lacestay advise policies/northgate.fitting --from policies/saturday.players saturday_beginner\n"
    "The language is described in grammar/reference.md.\n";

}  // namespace

std::optional<std::string> Words::value(const std::string& option) const {
  const auto found = options.find(option);
  return found == options.end() ? std::nullopt : std::optional(found->second);
}

Words sort_words(const std::vector<std::string>& words, const Accepted& accepted) {
  Words sorted;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const auto& word = words[i];
    if (word.size() < 2 || word.compare(0, 2, "--") != 0) {
      sorted.plain.push_back(word);
      continue;
    }
    const auto equals = word.find('=');
    const auto name = word.substr(0, equals);
    const auto known = accepted.find(name);
    if (known == accepted.end()) {
      std::vector<std::string> names;
      for (const auto& [option, takes_value] : accepted) names.push_back(option);
      const auto near = compiler::nearest_name(name, names);
      throw Stop{not_understood,
                 fmt::format("There is no option {}{}.\n", name,
                             near.empty() ? "; there are " + compiler::listed(names) : "; try " + near)};
    }
    std::string value;
    if (!known->second && equals != std::string::npos)
      throw Stop{not_understood, fmt::format("The option {} takes no value.\n", name)};
    if (known->second && equals != std::string::npos)
      value = word.substr(equals + 1);
    else if (known->second && i + 1 < words.size())
      value = words[++i];
    else if (known->second)
      throw Stop{not_understood, fmt::format("The option {} wants a value after it.\n", name)};
    if (!sorted.options.emplace(name, value).second)
      throw Stop{not_understood, fmt::format("The option {} is given twice.\n", name)};
  }
  return sorted;
}

void print(std::string_view text) {
  const bool written = std::fwrite(text.data(), 1, text.size(), stdout) == text.size() && std::fflush(stdout) == 0;
  if (!written) throw Stop{file_trouble, fmt::format("The output could not be written: {}.\n", std::strerror(errno))};
}

void print_problem(std::string_view text) { std::fwrite(text.data(), 1, text.size(), stderr); }

std::string refusal_of(const std::string& policy_path, std::size_t findings) {
  return fmt::format("{} gives no advice until {} mended.\n", policy_path,
                     findings == 1 ? "this is" : fmt::format("these {} are", findings));
}

namespace {

std::shared_ptr<const compiler::Policy> unsealed_policy(const std::string& path, std::string_view document) {
  auto unsealed = unseal(document);
  if (unsealed.policy) return std::move(unsealed.policy);
  throw Stop{not_so, fmt::format("sealed-1: '{}' is a sealed policy that is not used: {}.\n  Try: seal the policy "
                                 "again from its own file: lacestay inspect POLICY --seal {}.\n",
                                 path, unsealed.why, path)};
}

std::shared_ptr<const compiler::Policy> policy_for(const std::string& policy_path) {
  auto own = compiler::read_text_file(policy_path, largest_sealed);
  if (own.text && looks_sealed(*own.text)) return unsealed_policy(policy_path, *own.text);
  auto compiled = compiler::compile_file(policy_path, std::move(own));
  if (!compiled.policy) {
    const bool unreadable = compiled.diagnostics.front().code == "file-5";
    auto text = grammar::render(compiled.diagnostics);
    const auto count = compiled.diagnostics.size();
    if (!unreadable) text += "\n" + refusal_of(policy_path, count);
    throw Stop{unreadable ? file_trouble : not_so, std::move(text)};
  }
  return compiled.policy;
}

}  // namespace

std::shared_ptr<const Engine> unproved_engine_for(const std::string& policy_path) {
  std::string why;
  auto engine = Engine::build(policy_for(policy_path), why);
  if (!engine)
    throw Stop{not_so,
               fmt::format("limits-5: {}\n  Try: let fewer details decide it, or split the piece in two.\n", why)};
  return engine;
}

std::shared_ptr<const Engine> engine_for(const std::string& policy_path) {
  auto engine = unproved_engine_for(policy_path);
  auto proof = compiler::prove(engine->policy());
  std::erase_if(proof.findings, [](const compiler::Finding& finding) { return !finding.refuses(); });
  if (proof.findings.empty()) return engine;
  const auto more = proof.left_out == 0 ? "" : fmt::format("{} more of the same kind are left out.\n", proof.left_out);
  throw Stop{not_so, fmt::format("{}\n{}{}", grammar::render(told(*engine, proof)), more,
                                 refusal_of(policy_path, proof.findings.size()))};
}

std::string text_from(const std::string& path) {
  if (path == "-") {
    // One byte past the limit is enough for those who read it to refuse it.
    std::string text(grammar::largest_file + 1, '\0');
    std::cin.read(text.data(), static_cast<std::streamsize>(text.size()));
    text.resize(static_cast<std::size_t>(std::cin.gcount()));
    return text;
  }
  auto read = compiler::read_text_file(path);
  if (!read.text) throw Stop{file_trouble, fmt::format("'{}' can't be read: {}.\n", path, read.why)};
  return std::move(*read.text);
}

void write_file(const std::string& path, std::string_view text) {
  // A folder or a device would be put out of the way by the renaming below.
  std::error_code unknown;
  if (fs::exists(path, unknown) && !fs::is_regular_file(path, unknown))
    throw Stop{file_trouble, fmt::format("'{}' can't be written: it is no plain file.\n", path)};
  const auto temporary = fmt::format("{}.{}.part", path, ::getpid());
  std::FILE* file = std::fopen(temporary.c_str(), "wb");
  const auto trouble = [&](int error) {
    std::error_code ignored;
    if (file) fs::remove(temporary, ignored);
    throw Stop{file_trouble, fmt::format("'{}' can't be written: {}.\n", path, std::strerror(error))};
  };
  if (!file) trouble(errno);
  const bool written = std::fwrite(text.data(), 1, text.size(), file) == text.size();
  const int error = errno;
  if (std::fclose(file) != 0 || !written) trouble(written ? errno : error);
  std::error_code renamed;
  fs::rename(temporary, path, renamed);
  if (renamed) trouble(renamed.value());
}

std::int64_t day_in(const std::string& text) {
  const grammar::Source source{"a day", text};
  const auto value = grammar::read_value(source);
  const auto* date = value ? std::get_if<grammar::Date>(&*value) : nullptr;
  if (!date)
    throw Stop{not_understood, fmt::format("'{}' is not a day; write 2026-09-01 or \"1 September 2026\".\n", text)};
  return compiler::day_number(date->year, date->month, date->day);
}

std::string line_of_text(const Words& words, const std::string& option) {
  const auto text = words.value(option).value_or("");
  const bool plain = std::all_of(text.begin(), text.end(), [](unsigned char c) { return c >= ' ' && c != 127; });
  if (!plain || !grammar::refuse_text(text).empty())
    throw Stop{not_understood, fmt::format("{} takes one line of plain text.\n", option)};
  return text;
}

std::int64_t day_for(const Words& words) {
  if (const auto given = words.value("--on")) return day_in(*given);
  const auto now = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now());
  std::tm local{};
  localtime_r(&now, &local);
  return compiler::day_number(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday);
}

int run(const std::vector<std::string>& words) {
  try {
    if (words.empty() || words.front() == "--help" || words.front() == "help") {
      print(std::string(what_it_is) + what_next);
      return all_well;
    }
    const std::vector<std::string> rest(words.begin() + 1, words.end());
    if (std::find(rest.begin(), rest.end(), "--help") != rest.end()) {
      print(what_it_is);
      return all_well;
    }
    if (words.front() == "advise") return advise_command(rest);
    if (words.front() == "inspect") return inspect_command(rest);
    if (words.front() == "chart") return chart_command(rest);
    if (words.front() == "rehearse") return rehearse_command(rest);
    if (words.front() == "compare") return compare_command(rest);
    if (words.front() == "quote") return quote_command(rest);
    if (words.front() == "reopen") return reopen_command(rest);
    const auto near =
        compiler::nearest_name(words.front(), {"advise", "inspect", "chart", "rehearse", "compare", "quote", "reopen"});
    throw Stop{not_understood, fmt::format("There is no command '{}'{}.\n\n{}", words.front(),
                                           near.empty() ? "" : "; try " + near, what_it_is)};
  } catch (const Stop& stop) {
    print_problem(stop.message);
    return stop.code;
  } catch (const std::exception& fault) {
    print_problem(fmt::format("{}.\n", fault.what()));
    return own_fault;
  }
}

}  // namespace lacestay::runtime
