// lacestay reopen
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "compiler/names.hpp"
#include "grammar/reader.hpp"
#include "runtime/advice_html.hpp"
#include "runtime/advice_json.hpp"
#include "runtime/advice_text.hpp"
#include "runtime/daybook_command.hpp"
#include "runtime/daybook_summary.hpp"
#include "runtime/layout.hpp"
#include "runtime/quote_html.hpp"
#include "runtime/reopened.hpp"

namespace lacestay::runtime {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t most_listed = 40;
constexpr std::size_t least_hash = 12;  // digits of a hash that name an entry; a number is never so long

// A day as the daybook writes it.
std::string iso_day(std::int64_t day) {
  const auto date = compiler::calendar_of(day);
  return fmt::format("{:04}-{:02}-{:02}", date.year, date.month, date.day);
}

std::optional<std::string> day_of(const Words& words, const char* option) {
  const auto given = words.value(option);
  if (!given) return std::nullopt;
  const grammar::Source source{option, *given};
  const auto value = grammar::read_value(source);
  const auto* date = value ? std::get_if<grammar::Date>(&*value) : nullptr;
  if (!date)
    throw Stop{not_understood, fmt::format("'{}' is not a day; write 2026-09-01 or \"1 September 2026\".\n", *given)};
  return iso_day(compiler::day_number(date->year, date->month, date->day));
}

Sought sought_by(const Words& words) {
  Sought sought;
  sought.since = day_of(words, "--since");
  sought.until = day_of(words, "--until");
  if (const auto day = day_of(words, "--day")) {
    if (sought.since || sought.until) throw Stop{not_understood, "Give either --day, or --since and --until.\n"};
    sought.since = sought.until = day;
  }
  if (const auto piece = words.value("--piece")) sought.names.push_back("piece " + folded(*piece));
  if (const auto rule = words.value("--rule")) sought.names.push_back("rule " + *rule);
  sought.item = words.value("--item");
  return sought;
}

Entry named_entry(Daybook& daybook, const std::string& named) {
  const bool digits = !named.empty() && named.find_first_not_of("0123456789") == named.npos;
  std::optional<Entry> found;
  if (digits && named.size() < least_hash)
    found = daybook.entry(std::stoll(named));
  else if (named.size() >= least_hash && named.find_first_not_of("0123456789abcdef") == named.npos)
    found = daybook.entry_of_hash(named);
  else
    throw Stop{not_understood, fmt::format("'{}' is no entry: write its number, or {} digits or more of its hash.\n",
                                           named, least_hash)};
  if (!found)
    throw Stop{not_so, fmt::format("The daybook has no entry {}. An entry that a page names and the daybook has not is "
                                   "lost, or of another daybook.\n",
                                   named)};
  return *found;
}

int list(Daybook& daybook, const Words& words) {
  auto sought = sought_by(words);
  if (!words.has("--all")) sought.most = most_listed + 1;
  auto numbers = daybook.find(sought);
  const bool more = !words.has("--all") && numbers.size() > most_listed;
  if (more) numbers.resize(most_listed);
  auto all = Json::array();
  std::string out;
  for (const auto number : numbers) {
    const auto entry = *daybook.entry(number);
    const auto gist = gist_of(entry);
    if (words.has("--json"))
      all.push_back(
          {{"number", number}, {"at", entry.at}, {"kind", word_of(entry.kind)}, {"gist", gist}, {"hash", entry.hash}});
    else
      out += fmt::format("{:>6}  {}  {}  {}\n", number, day_and_time(entry.at).substr(0, 16),
                         padded(kind_in_words(entry.kind), 21), gist);
  }
  if (words.has("--json")) {
    print(json_text({{"format", 1}, {"entries", all}, {"more", more}}));
    return all_well;
  }
  if (numbers.empty()) out = "No entry is like that.\n";
  if (more) out += fmt::format("These are the newest {}; --all shows the others too.\n", most_listed);
  print(out);
  return all_well;
}

int verify(Daybook& daybook, const Words& words) {
  const auto result = daybook.verify();
  if (words.has("--json")) {
    Json out = {{"format", 1},
                {"holds", result.faults.empty()},
                {"entries", result.entries},
                {"erased", result.erased},
                {"last_hash", result.last_hash},
                {"first_fault", nullptr}};
    if (!result.faults.empty())
      out["first_fault"] = {{"entry", result.faults.front().number}, {"what", result.faults.front().what}};
    print(json_text(out));
  } else if (!result.faults.empty()) {
    print(fmt::format("Entry {}: {}.\n", result.faults.front().number, result.faults.front().what));
  } else {
    print(fmt::format("{} entries hold, from the first to the last{}.\n", result.entries,
                      result.erased > 0 ? fmt::format("; {} of them erased, which is on record", result.erased) : ""));
    if (result.entries > 0)
      print(fmt::format("The last is entry {}: {}\nWritten down somewhere else, it shows later that none is lost.\n",
                        result.entries, result.last_hash));
  }
  return result.faults.empty() ? all_well : not_so;
}

int forget(Daybook& daybook, const std::string& named) {
  const auto entry = named_entry(daybook, named);
  const auto made = daybook.forget(entry.number, "asked for", this_moment());
  print(made ? fmt::format("Entry {} is erased, and what was handed over beside it; entry {} says so.\n", entry.number,
                           made->number)
             : fmt::format("Entry {} was erased before; nothing of it is left.\n", entry.number));
  return all_well;
}

int keep_for(Daybook& daybook, const std::string& span) {
  const auto digits = span.substr(0, span.find_first_not_of("0123456789"));
  const auto rest = span.substr(digits.size());
  const auto unit = rest.find_first_not_of(' ') == rest.npos ? "" : rest.substr(rest.find_first_not_of(' '));
  if (digits.empty() || digits.size() > 6 || (unit != "days" && unit != "day"))
    throw Stop{not_understood, fmt::format("'{}' is no span; write it as in: --keep-for \"400 days\"\n", span)};
  const auto now = this_moment();
  const auto today = std::chrono::floor<std::chrono::days>(now).time_since_epoch().count();
  const auto day = iso_day(today - std::stoll(digits));
  const auto erased = daybook.forget_before(day, fmt::format("older than {} days", digits), now);
  print(erased.empty() ? fmt::format("Nothing is older than {} days.\n", digits)
                       : fmt::format("{} {} of before {} {} erased, which is on record.\n", erased.size(),
                                     erased.size() == 1 ? "entry" : "entries", day, erased.size() == 1 ? "is" : "are"));
  return all_well;
}

int summary(Daybook& daybook, const Words& words) {
  const auto made = summary_of(daybook, sought_by(words));
  if (const auto path = words.value("--csv")) {
    write_file(*path, csv_of(made));
    print(fmt::format("{} is written.\n", *path));
  } else {
    print(text_of(made));
  }
  return all_well;
}

int hand_over(Daybook& daybook, const Words& words, const std::string& named) {
  const auto what = *words.value("--handed-over");
  const auto by = words.value("--by").value_or(""), reason = words.value("--why").value_or("");
  if (what.empty() || by.empty() || reason.empty())
    throw Stop{not_understood,
               "Say what, by whom and why: --handed-over \"stick flex 50 flex\" --by NAME --why \"...\"\n"};
  const auto opened = reopen(daybook, named_entry(daybook, named));
  std::string why;
  auto said = handed_over_of(opened, what, why);
  if (!said) throw Stop{not_understood, fmt::format("What was handed over is put {}.\n", why)};
  said->by = by;
  said->why = reason;
  const auto made = daybook.append(entry_of(opened, *said), this_moment());
  std::string out =
      fmt::format("Entry {} records beside entry {}: {}\n", made.number, opened.entry.number, text_of(*said));
  for (const auto& safety : said->safety) out += wrapped("AGAINST A SAFETY RULE: " + safety, 2);
  if (!said->safety.empty()) out += "The page says so: print it once more with --html.\n";
  print(out);
  return all_well;
}

int show(Daybook& daybook, const Words& words, const std::string& named) {
  auto opened = reopen(daybook, named_entry(daybook, named));
  if (const auto path = words.value("--under")) {
    if (!opened.kept)
      throw Stop{not_so, "Only an advice or a quote that is not erased can be held to another policy.\n"};
    const auto engine = engine_for(*path);
    opened.under = under_policy(*engine, *path, *opened.kept, day_for(words));
  }
  const int code = opened.kept && !opened.same_answer() ? not_so : all_well;
  if (const auto page = words.value("--html")) {
    if (!opened.again)
      throw Stop{not_so, fmt::format("There is no page of entry {}: nothing was answered in it, or it is erased.\n",
                                     opened.entry.number)};
    write_file(*page, opened.again->quote ? page_of(*opened.again->quote) : page_of(opened.again->advice));
    print(fmt::format("{} is written.\n", *page));
  } else {
    print(words.has("--json") ? json_text(json_of(opened)) : text_of(opened));
  }
  return code;
}

// What one run does; the options beside it that it takes.
struct Doing {
  const char* option;  // that asks for it; null: to list, or to show an entry
  bool wants_entry;
  std::vector<std::string> takes;
};

int run_on(const std::string& path, const Words& words, const std::optional<std::string>& entry) {
  const bool writes = words.has("--forget") || words.has("--keep-for") || words.has("--handed-over");
  Daybook daybook(path, writes ? Daybook::Open::write : Daybook::Open::read);
  if (words.has("--verify")) return verify(daybook, words);
  if (const auto named = words.value("--forget")) return forget(daybook, *named);
  if (const auto span = words.value("--keep-for")) return keep_for(daybook, *span);
  if (words.has("--summary")) return summary(daybook, words);
  if (words.has("--handed-over")) return hand_over(daybook, words, *entry);
  return entry ? show(daybook, words, *entry) : list(daybook, words);
}

}  // namespace

int reopen_command(const std::vector<std::string>& given) {
  const auto words = sort_words(given, {{"--day", true},
                                        {"--since", true},
                                        {"--until", true},
                                        {"--piece", true},
                                        {"--item", true},
                                        {"--rule", true},
                                        {"--all", false},
                                        {"--json", false},
                                        {"--html", true},
                                        {"--under", true},
                                        {"--on", true},
                                        {"--verify", false},
                                        {"--forget", true},
                                        {"--keep-for", true},
                                        {"--summary", false},
                                        {"--csv", true},
                                        {"--handed-over", true},
                                        {"--by", true},
                                        {"--why", true}});
  if (words.plain.empty() || words.plain.size() > 2)
    throw Stop{not_understood, "Which daybook? Write: lacestay reopen DAYBOOK [ENTRY]\n"};
  const std::vector<std::string> search = {"--day", "--since", "--until", "--piece", "--item", "--rule"};
  auto listing = search;
  listing.insert(listing.end(), {"--all", "--json"});
  auto summing = search;
  summing.push_back("--csv");
  const std::vector<Doing> doings = {{"--verify", false, {"--json"}},
                                     {"--forget", false, {}},
                                     {"--keep-for", false, {}},
                                     {"--summary", false, summing},
                                     {"--handed-over", true, {"--by", "--why"}}};
  const bool names_entry = words.plain.size() == 2;
  Doing doing = {nullptr, names_entry,
                 names_entry ? std::vector<std::string>{"--json", "--html", "--under", "--on"} : listing};
  for (const auto& each : doings)
    if (words.has(each.option)) {
      doing = each;
      break;
    }
  for (const auto& [option, value] : words.options)
    if (option != (doing.option ? doing.option : "") &&
        std::find(doing.takes.begin(), doing.takes.end(), option) == doing.takes.end())
      throw Stop{not_understood, fmt::format("{} does not go with {}.\n", option,
                                             doing.option  ? doing.option
                                             : names_entry ? "showing an entry"
                                                           : "listing entries")};
  if (doing.wants_entry != names_entry)
    throw Stop{not_understood, doing.wants_entry
                                   ? fmt::format("{} wants an entry: lacestay reopen DAYBOOK ENTRY {} ...\n",
                                                 doing.option, doing.option)
                                   : fmt::format("{} stands without an entry before it.\n", doing.option)};
  try {
    return run_on(words.plain[0], words, names_entry ? std::optional(words.plain[1]) : std::nullopt);
  } catch (const DaybookTrouble& trouble) {
    throw as_stop(trouble);
  }
}

}  // namespace lacestay::runtime
