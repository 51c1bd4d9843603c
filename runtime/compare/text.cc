#include "runtime/compare/text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "compiler/values/names.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/base/layout.hpp"

namespace lacestay::runtime {
namespace {

std::string named(const EditionLine& line) {
  return fmt::format("{}, edition {}, in force {} ({})", line.policy, line.edition, line.in_force, line.file);
}

void add_reasons(const std::vector<Part>& parts, const char* when, std::string& out) {
  for (const auto& part : parts)
    out += wrapped(fmt::format("{}: {}", part.says, text_of_rule(part)), 14, fmt::format("      {}", when));
}

// For whom it changes, and what changes for them.
void add_where(const ChangedLine& line, const std::vector<std::string>& says, std::string& out) {
  std::size_t told = 0;
  if (line.where.size() == 1) {
    out += wrapped(fmt::format("{}: {}", line.where.front(), says[told++]), 4);
  } else {
    for (std::size_t i = 0; i < line.where.size(); ++i)
      out += wrapped(line.where[i] + (i + 1 < line.where.size() ? "," : ":"), i == 0 ? 4 : 7, i == 0 ? "" : "    or");
  }
  while (told < says.size()) out += wrapped(says[told++], 4);
}

void add_player(const ChangedLine& line, std::string& out) {
  if (!line.settled) {
    out += wrapped("whether there is such a player could not be settled", 6);
    return;
  }
  std::vector<std::string> details;
  for (const auto& [name, value] : line.player) details.push_back(name + " " + value);
  if (!details.empty()) out += wrapped("for instance " + compiler::listed(details), 6);
}

void add_becomes(const BecomesLine& line, std::string& out) {
  add_where(line, {fmt::format("{} becomes {}", line.before, line.after)}, out);
  add_player(line, out);
  add_reasons(line.why_before, "before", out);
  add_reasons(line.why_after, "now", out);
}

void add_becomes(const ItemsBecomeLine& line, std::string& out) {
  add_where(line, sentences_of(line), out);
  add_player(line, out);
}

template <typename What>
void add_change(const ChangeLinesOf<What>& change, std::string& out) {
  out += fmt::format("\n{}\n", change.answer);
  for (const auto& statement : change.statements) {
    out += wrapped(statement.who + (statement.but_not.empty() ? ":" : ""), 2);
    for (std::size_t i = 0; i < statement.but_not.size(); ++i)
      out +=
          wrapped(fmt::format("but not {}{}", statement.but_not[i], i + 1 < statement.but_not.size() ? "," : ":"), 4);
    for (const auto& becomes : statement.becomes) add_becomes(becomes, out);
  }
  if (change.left_out > 0) out += fmt::format("  {} smaller ones are left out.\n", change.left_out);
  if (!change.settled) out += wrapped(not_settled(change), 2);
}

void add_shut_out(const std::vector<ShutOutLine>& lines, const char* heading, std::string& out) {
  if (lines.empty()) return;
  out += fmt::format("\n{}\n", heading);
  for (const auto& line : lines) {
    for (std::size_t i = 0; i < line.who.size(); ++i)
      out += wrapped(line.who[i] + (i + 1 < line.who.size() ? "," : ":"), i == 0 ? 2 : 5, i == 0 ? "" : "  or");
    out += wrapped(line.sentence, 4);
    std::vector<std::string> details;
    for (const auto& [name, value] : line.player) details.push_back(name + " " + value);
    if (!details.empty()) out += wrapped("for instance " + compiler::listed(details), 6);
    if (!line.settled) out += wrapped(shut_out_not_settled, 4);
  }
}

void add_also(const std::vector<AlsoLine>& lines, const char* heading, std::string& out) {
  if (lines.empty()) return;
  out += fmt::format("\n{}\n", heading);
  for (const auto& line : lines) {
    if (line.before.empty() || line.after.empty())
      out += wrapped(fmt::format("{}: {} ({})", line.about, line.before.empty() ? "new" : "no longer",
                                 line.before.empty() ? line.after : line.before),
                     2);
    else
      out += wrapped(fmt::format("{}: {} became {}", line.about, line.before, line.after), 2);
  }
}

// Pieces and answers of which nothing changes; after them those of which it does not change who gets them.
std::string same_text(const std::vector<SameLine>& same) {
  std::vector<std::string> answers, pieces;
  for (const auto& each : same) (each.who_gets ? pieces : answers).push_back(each.answer);
  std::string text;
  if (!answers.empty()) text = fmt::format("No change for any player: {}.", compiler::listed(answers));
  if (!pieces.empty())
    text += fmt::format("{}Who gets {} stays as it is.", text.empty() ? "" : " ", compiler::listed(pieces, "or"));
  return text.empty() ? "" : "\n" + wrapped(text, 0);
}

void add_people(const PeopleLines& people, std::string& out) {
  constexpr std::size_t most_shown = 20;
  out += "\n" + counts_of(people) + "\n";
  if (!people.passed_over.empty()) out += wrapped(passed_over_in(people), 2);
  for (const auto& [answer, count] : people.by_answer) out += fmt::format("  {}: {}\n", answer, count);
  for (std::size_t i = 0; i < people.changed.size() && i < most_shown; ++i) {
    std::vector<std::string> answers;
    for (const auto& becomes : people.changed[i].answers)
      answers.push_back(fmt::format("{} {} becomes {}", becomes.answer, becomes.before, becomes.after));
    out += wrapped(fmt::format("{}: {}", people.changed[i].name, fmt::join(answers, "; ")), 4);
  }
  if (people.changed.size() > most_shown)
    out += fmt::format("    and {} more; --json names them all\n", people.changed.size() - most_shown);
  if (people.outside.empty()) return;
  out += "Who can't be advised under both:\n";
  for (std::size_t i = 0; i < people.outside.size() && i < most_shown; ++i) out += wrapped(people.outside[i], 4);
  if (people.outside.size() > most_shown)
    out += fmt::format("    and {} more; --json names them all\n", people.outside.size() - most_shown);
}

}  // namespace

std::string text_of(const SameLine& line) { return (line.who_gets ? "who gets " : "") + line.answer; }

std::string nothing_changes(const Comparison& comparison) {
  const bool other_money = comparison.earlier.money != comparison.later.money;
  std::vector<std::string> others;
  if (!comparison.shut_out_now.empty() || !comparison.let_in_now.empty()) others.emplace_back("who can be a player");
  if (!comparison.items.empty()) others.emplace_back("what may be handed over");
  if (!comparison.held_to.empty()) others.emplace_back("what the policy is held to");
  return fmt::format("{} for any player{}.",
                     other_money ? "But for the money its sums are in, no answer changes" : "No answer changes",
                     others.empty()       ? ""
                     : others.size() == 1 ? fmt::format("; {} does", others.front())
                                          : fmt::format("; {} do", compiler::listed(others)));
}

std::string not_settled(const ChangeLines&) {
  return "Not all of this could be settled: too many details decide it at once. More may change.";
}

std::string not_settled(const ItemsLines&) { return "Not all of this could be settled. More may change."; }

std::vector<std::string> sentences_of(const ItemsBecomeLine& line) {
  std::vector<std::string> all;
  const auto add = [&](const char* says, const std::optional<ItemLine>& item) {
    std::string text = says;
    if (item) {
      const auto what = item->what();
      text += fmt::format("{} (by: {})", what.empty() ? "" : ", such as " + what, item->by);
    }
    all.push_back(std::move(text));
  };
  if (line.some_gained) add("an item may be handed over that could not be before", line.gained);
  if (line.some_lost) add("an item may no longer be handed over", line.lost);
  return all;
}

std::string counts_of(const PeopleLines& people) {
  if (people.people == 0) return "The file of people has nobody in it.";
  return fmt::format("Of {} {}, {} can be advised under both editions; {} of them get another answer.", people.people,
                     people.people == 1 ? "person" : "people", people.compared, people.changed.size());
}

std::string passed_over_in(const PeopleLines& people) {
  return fmt::format("Columns that neither edition asks are passed over: {}.", compiler::listed(people.passed_over));
}

std::string text_of(const Comparison& comparison) {
  auto out = wrapped(named(comparison.earlier), 8, "before");
  out += wrapped(named(comparison.later), 8, "now");
  if (comparison.apart) out += "\nNo player can be advised under both editions.\n";
  add_shut_out(comparison.shut_out_now, shut_out_heading, out);
  add_shut_out(comparison.let_in_now, let_in_heading, out);
  for (const auto& change : comparison.changes) add_change(change, out);
  for (auto lines : comparison.items) {
    lines.answer += ", what may be handed over";
    add_change(lines, out);
  }
  add_also(comparison.asked, "What is asked, and what the kit can be", out);
  add_also(comparison.texts, "Words that changed, with the same answers", out);
  if (!comparison.held_to.empty()) out += "\nWhat the policy is held to\n";
  for (const auto& line : comparison.held_to)
    out += wrapped(fmt::format("{} {}: {}", line.after.empty() ? "no longer" : "now", line.about,
                               line.after.empty() ? line.before : line.after),
                   2);
  add_also(comparison.shop, "The shelf and the till", out);
  if (!comparison.apart && comparison.changes.empty())
    out += "\n" + nothing_changes(comparison) + "\n";
  else
    out += same_text(comparison.same);
  if (comparison.people) add_people(*comparison.people, out);
  return out;
}

}  // namespace lacestay::runtime
