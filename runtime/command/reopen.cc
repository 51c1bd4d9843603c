// lacestay reopen
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "compiler/values/days.hpp"
#include "compiler/values/names.hpp"
#include "grammar/text/letters.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/base/layout.hpp"
#include "runtime/base/moment.hpp"
#include "runtime/command/commands.hpp"
#include "runtime/command/daybook.hpp"
#include "runtime/options/values.hpp"
#include "runtime/reopen/reopened.hpp"
#include "runtime/reopen/see_again.hpp"
#include "runtime/reopen/summary.hpp"

namespace lacestay::runtime {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t most_listed = 40;
constexpr std::size_t least_hash = 12;  // digits of a hash that name an entry; a number is never so long

// A name the daybook knows, with its kind before it; throws Stop where it knows none such, and says which is near.
std::string known_name(Daybook& daybook, const std::string& kind, const std::string& name) {
  std::vector<std::string> known;
  for (const auto& each : daybook.names())
    if (each.rfind(kind + " ", 0) == 0) known.push_back(each.substr(kind.size() + 1));
  if (std::find(known.begin(), known.end(), name) != known.end()) return kind + " " + name;
  const auto near = compiler::nearest_name(name, known);
  throw Stop{not_understood, fmt::format("No entry has to do with a {} called '{}'{}.\n", kind, name,
                                         near.empty() ? "" : "; perhaps you mean " + near)};
}

Sought sought_by(Daybook& daybook, const Words& words) {
  Sought sought;
  const auto day = words.value("--day"), first = words.value("--first-day"), last = words.value("--last-day");
  if (day && (first || last)) throw Stop{not_understood, "Give either --day, or --first-day and --last-day.\n"};
  if (const auto from = day ? day : first) sought.from = start_of(day_in(*from));
  if (const auto to = day ? day : last) sought.before = start_of(day_in(*to) + 1);
  if (sought.from && sought.before && *sought.before <= *sought.from)
    throw Stop{not_understood, "The last day comes before the first.\n"};
  if (const auto piece = words.value("--piece")) sought.names.push_back(known_name(daybook, "piece", folded(*piece)));
  if (const auto rule = words.value("--rule"))
    sought.names.push_back(known_name(daybook, "rule", grammar::lower_case(*rule)));
  sought.item = words.value("--item");
  return sought;
}

Entry named_entry(Daybook& daybook, std::string named) {
  std::transform(named.begin(), named.end(), named.begin(),
                 [](char c) { return c >= 'A' && c <= 'F' ? static_cast<char>(c | 0x20) : c; });
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
  auto sought = sought_by(daybook, words);
  if (!words.has("--all")) sought.most = most_listed + 1;
  auto numbers = daybook.find(sought);
  const bool more = !words.has("--all") && numbers.size() > most_listed;
  if (more) numbers.resize(most_listed);
  auto all = Json::array();
  std::string out;
  for (const auto number : numbers) {
    const auto found = daybook.entry(number);
    if (!found) continue;  // a name or an item of an entry that is missing: --verify tells of it
    const auto& entry = *found;
    const auto gist = gist_of(entry);
    if (words.has("--json"))
      all.push_back(
          {{"number", number}, {"at", entry.at}, {"kind", word_of(entry.kind)}, {"gist", gist}, {"hash", entry.hash}});
    else
      out +=
          fmt::format("{:>6}  {}  {}  {}\n", number, local_time(entry.at), padded(kind_in_words(entry.kind), 21), gist);
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
    print(fmt::format("{} {}, from the first to the last{}.\n", result.entries,
                      result.entries == 1 ? "entry holds" : "entries hold",
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

// The day so long before today: "400 days", "6 months", "2 years".
std::int64_t day_before_today(const std::string& span) {
  const auto digits = span.substr(0, span.find_first_not_of("0123456789"));
  auto unit = span.substr(digits.size());
  unit.erase(0, unit.find_first_not_of(' ') == unit.npos ? unit.size() : unit.find_first_not_of(' '));
  if (!unit.empty() && unit.back() == 's') unit.pop_back();
  const bool known = unit == "day" || unit == "week" || unit == "month" || unit == "year";
  if (digits.empty() || digits.size() > 4 || !known)
    throw Stop{
        not_understood,
        fmt::format("'{}' is no span; write it as in: --keep-for \"400 days\", or weeks, months, years\n", span)};
  const auto count = std::stoi(digits);
  const auto today = lacestay::runtime::today();
  if (unit == "day") return today - count;
  if (unit == "week") return today - 7 * count;
  const auto date = compiler::calendar_of(today);
  const auto before = date - std::chrono::months(unit == "month" ? count : 12 * count);
  if (before.year() < std::chrono::year(1)) return 0;
  return compiler::day_number(before);  // the 31st of a month that has none is the first of the next
}

int keep_for(Daybook& daybook, const std::string& span) {
  const auto day = day_before_today(span);
  const auto erased = daybook.forget_before(start_of(day), "older than " + span, this_moment());
  print(erased.empty() ? fmt::format("Nothing is older than {}.\n", span)
                       : fmt::format("{} {} of before {} {} erased, which is on record.\n", erased.size(),
                                     erased.size() == 1 ? "entry" : "entries", compiler::iso_day(day),
                                     erased.size() == 1 ? "is" : "are"));
  return all_well;
}

int summary(Daybook& daybook, const Words& words) {
  const auto made = summary_of(daybook, sought_by(daybook, words));
  if (const auto path = words.value("--csv")) {
    write_file(*path, csv_of(made));
    print(fmt::format("{} is written.\n", *path));
  } else {
    print(text_of(made));
  }
  return all_well;
}

// Due by today, or by the day that is named.
int see_again(Daybook& daybook, const Words& words, const std::optional<std::string>& day) {
  const auto by = day ? day_in(*day) : today();
  const auto all = to_see_again(daybook, sought_by(daybook, words), by);
  if (words.has("--json")) {
    auto entries = Json::array();
    for (const auto& each : all)
      entries.push_back({{"number", each.entry},
                         {"advised", compiler::iso_day(each.advised)},
                         {"due", compiler::iso_day(each.due)},
                         {"gist", each.gist}});
    print(json_text({{"format", 1}, {"by", compiler::iso_day(by)}, {"entries", entries}}));
    return all_well;
  }
  std::string out;
  for (const auto& each : all)
    out += fmt::format("{:>6}  due {}  advised {}  {}\n", each.entry, compiler::iso_day(each.due),
                       compiler::iso_day(each.advised), each.gist);
  print(all.empty() ? fmt::format("Nobody is to be measured again by {}.\n", compiler::iso_day(by)) : out);
  return all_well;
}

int hand_over(Daybook& daybook, const Words& words, const std::string& named) {
  const auto what = line_of_text(words, "--handed-over"), by = line_of_text(words, "--by"),
             reason = line_of_text(words, "--why");
  if (what.empty() || by.empty() || reason.empty())
    throw Stop{not_understood,
               "Say what, by whom and why: --handed-over \"stick flex 50 flex\" --by NAME --why \"...\"\n"};
  const auto opened = reopen(daybook, named_entry(daybook, named));
  auto said = handed_over_of(opened, what);
  if (!said) throw Stop{not_understood, fmt::format("Nothing is recorded: {}.\n", said.problem().message)};
  said->by = by;
  said->why = reason;
  const auto made = daybook.append(entry_of(opened, *said), this_moment());
  std::string out =
      fmt::format("Entry {} records beside entry {}: {}\n", made.number, opened.entry.number, text_of(*said));
  const auto warnings = warnings_of(*said);
  for (const auto& warning : warnings) out += wrapped(text_of(warning), 2);
  if (!warnings.empty()) out += "The page says so: print it once more with --html.\n";
  print(out);
  return all_well;
}

int show(Daybook& daybook, const Words& words, const std::string& named) {
  auto opened = reopen(daybook, named_entry(daybook, named));
  const bool unread = opened.other_form && !opened.kept;
  if (unread && (words.has("--under") || words.has("--html")))
    throw Stop{file_trouble, fmt::format("Entry {} can't be read: {}.\n", opened.entry.number, opened.why_not)};
  if (const auto path = words.value("--under")) {
    if (!opened.kept)
      throw Stop{not_so, "Only an advice or a quote that is not erased can be held to another policy.\n"};
    const auto engine = engine_for(*path);
    const auto day = words.has("--on") ? day_for(words) : opened.kept->day;
    opened.under = under_policy(*engine, *path, *opened.kept, day);
  }
  const int code = opened.in_order() ? all_well : not_so;
  if (const auto page = words.value("--html")) {
    const auto written = page_of(opened);
    if (!written)
      throw Stop{not_so, fmt::format("There is no page of entry {}: nothing was answered in it, or it is erased.\n",
                                     opened.entry.number)};
    write_file(*page, *written);
    print(fmt::format("{} is written.\n", *page));
  } else {
    print(words.has("--json") ? json_text(json_of(opened)) : text_of(opened));
  }
  return code;
}

int run_on(const std::string& path, const Words& words, const std::optional<std::string>& entry) {
  const bool writes = words.has("--forget") || words.has("--keep-for") || words.has("--handed-over");
  Daybook daybook(path, writes ? Daybook::Open::write : Daybook::Open::read);
  if (words.has("--verify")) return verify(daybook, words);
  if (const auto named = words.value("--forget")) return forget(daybook, *named);
  if (const auto span = words.value("--keep-for")) return keep_for(daybook, *span);
  if (words.has("--summary")) return summary(daybook, words);
  if (words.has("--to-see-again")) return see_again(daybook, words, entry);
  if (words.has("--handed-over")) return hand_over(daybook, words, *entry);
  return entry ? show(daybook, words, *entry) : list(daybook, words);
}

int run_reopen(const Words& given) {
  auto words = given;
  // As it is said: --keep-for 400 days.
  if (auto& span = words.options.at("--keep-for"); span && words.plain.size() == 2) {
    if (span->empty() || span->find_first_not_of("0123456789") != std::string::npos)
      throw Stop{not_understood, "--keep-for stands without an entry before it.\n"};
    *span += " " + words.plain.back();
    words.plain.pop_back();
  }
  const bool names_entry = words.plain.size() == 2;
  return run_on(words.plain[0], words, names_entry ? std::optional(words.plain[1]) : std::nullopt);
}

std::vector<Way> ways_of_reopen() {
  const std::vector<std::string> search = {"--day", "--first-day", "--last-day", "--piece", "--item", "--rule"};
  const auto alone = [](const char* option, const std::string& value, const char* does, std::size_t most,
                        std::vector<std::string> takes) {
    return Way{.by = option,
               .written = fmt::format("DAYBOOK {}{}", option, value),
               .does = does,
               .least = 1,
               .most = most,
               .otherwise = fmt::format("{} stands without an entry before it.", option),
               .takes = std::move(takes),
               .doing = option};
  };
  return {{.by = "",
           .written = "DAYBOOK",
           .does = "lists its entries, the newest first",
           .least = 1,
           .most = 1,
           .otherwise = "Which daybook? Write: lacestay reopen DAYBOOK [ENTRY]",
           .takes = joined(search, {"--all", "--json"}),
           .doing = "listing entries"},
          {.by = "",
           .written = "DAYBOOK ENTRY",
           .does = "shows one, worked out again",
           .least = 2,
           .most = 2,
           .otherwise = "",
           .takes = {{"--json", "--html", "--under", "--on"}},
           .doing = "showing an entry"},
          {.by = "--handed-over",
           .written = "DAYBOOK ENTRY --handed-over WHAT --by NAME --why TEXT",
           .does = "records beside an entry what the fitter gave instead",
           .least = 2,
           .most = 2,
           .otherwise = "--handed-over wants an entry: lacestay reopen DAYBOOK ENTRY --handed-over ...",
           .takes = {{"--by", "--why"}},
           .doing = "--handed-over"},
          alone("--summary", "", "counts rules that did the work, answers near an edge", 1, joined(search, {"--csv"})),
          // The day is named after it, see run_on.
          alone("--to-see-again", " [DATE]", "who is due to be measured again, by today or that day", 2,
                joined(search, {"--json"})),
          alone("--verify", "", "whether every entry is as it was written", 1, {"--json"}),
          alone("--forget", " ENTRY", "erases what an entry holds", 1, {}),
          // The span may be two words, see run_reopen.
          alone("--keep-for", " SPAN", "erases what is older", 2, {})};
}

}  // namespace

const Command& reopen_command() {
  static const Command command = {
      .name = "reopen",
      .gist = "what was advised or quoted, months later, out of the daybook",
      .does =
          "Opens what advise and quote put on record with --daybook: what was said, why, and whether it is said "
          "again.",
      .ways = ways_of_reopen(),
      .words = {{"DAYBOOK", Takes::file, "the daybook's file"},
                {"ENTRY", Takes::text, "an entry's number, or the first digits of its hash as a page shows it"}},
      .groups = {{"Which entries are listed or counted",
                  {{"--day", Takes::text, "DATE", "those of a day"},
                   {"--first-day", Takes::text, "DATE", "those of that day and later"},
                   {"--last-day", Takes::text, "DATE", "those of that day and earlier"},
                   {"--piece", Takes::text, "NAME", "those with an answer of that piece"},
                   {"--rule", Takes::text, "NAME", "those that the rule did work in"},
                   {"--item", Takes::text, "NUMBER", "those that quoted the item"},
                   {"--all", Takes::nothing, "", "not just the newest"}}},
                 {"How one is shown",
                  {{"--under", Takes::file, "POLICY",
                    "what another policy would have said, and which rules make the difference"},
                   {"--on", Takes::text, "DATE", "with --under: on that day"},
                   {"--html", Takes::file, "FILE", "the customer's page once more"},
                   {"--json", Takes::nothing, "", "for programs, as JSON; also of the list, and with --verify"}}},
                 {"What was given instead",
                  {{"--handed-over", Takes::text, "WHAT", "such as \"stick flex 45 flex\""},
                   {"--by", Takes::text, "NAME", "who gave it"},
                   {"--why", Takes::text, "TEXT", "and why"}}},
                 {"The whole daybook",
                  {{"--summary", Takes::nothing, "", "the rules that did the work, and the answers near an edge"},
                   {"--csv", Takes::file, "FILE", "the summary for a spreadsheet"},
                   {"--to-see-again", Takes::nothing, "",
                    "advices and quotes after which the policy's see_again has passed"},
                   {"--verify", Takes::nothing, "", "whether every entry is as it was written, and none is missing"},
                   {"--forget", Takes::text, "ENTRY", "erases what the entry holds, for good"},
                   {"--keep-for", Takes::text, "SPAN", "erases what is older than, for instance, \"400 days\""}}}},
      .apart = {{"--html", {"--json"}, "--html does not go with --json."},
                {"--html", {"--under"}, "--html does not go with --under."}},
      .needs = {{"--on", "--under", "--on is the day of --under: what another policy says on that day."}},
      .example = "lacestay reopen shop.daybook --day 2026-11-25 --piece skates",
      .run = run_reopen};
  return command;
}

}  // namespace lacestay::runtime
