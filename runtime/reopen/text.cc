#include "runtime/advice/text.hpp"

#include <fmt/format.h>

#include <ctime>

#include "compiler/values/names.hpp"
#include "grammar/text/letters.hpp"
#include "runtime/base/html_parts.hpp"
#include "runtime/base/layout.hpp"
#include "runtime/base/moment.hpp"
#include "runtime/quote/text.hpp"
#include "runtime/reopen/reopened.hpp"

namespace lacestay::runtime {

using grammar::capital;

const char* kind_in_words(EntryKind kind) {
  switch (kind) {
    case EntryKind::advice: return "an advice";
    case EntryKind::quote: return "a quote";
    case EntryKind::handed_over: return "handed over otherwise";
    case EntryKind::by_hand: return "fitted by hand";
    case EntryKind::sold: return "sold";
    case EntryKind::given_back: return "given back";
    case EntryKind::erasure: return "an erasure";
  }
  return "";
}

namespace {

std::string field(const char* name, const std::string& value) {
  constexpr std::size_t width = 13;
  return wrapped(value, width, padded(std::string("  ") + name, width - 1));
}

std::string became(const AnsweredAgain::Other& other) {
  if (other.before.empty()) return fmt::format("{}: {}, which was not answered", other.about, other.now);
  if (other.now.empty()) return fmt::format("{}: {}, and is not answered now", other.about, other.before);
  return fmt::format("{}: {} became {}", other.about, other.before, other.now);
}

// The answers and the items that stand in the entry, in its own words.
void write_record(const KeptAdvice& kept, std::string& out) {
  out += fmt::format("\nAs it was recorded for {}\n\n", compiler::show(kept.day, compiler::Dimension::day, {}));
  std::vector<std::string> details;
  for (const auto& detail : kept.details) details.push_back(detail.name + " " + detail.text);
  if (!details.empty()) out += wrapped(fmt::format("{}", fmt::join(details, ", ")), 8, "Player:");
  if (!kept.owns.empty()) out += wrapped(compiler::listed(kept.owns), 8, "Owns:");
  if (kept.quote) {
    const auto& quote = *kept.quote;
    out += "\nQuoted\n";
    for (const auto& line : quote.lines)
      out += wrapped(fmt::format("{}: {}, {}", line.piece, line.item, in_money(line.price, quote.currency)), 4, "  -");
    out += wrapped(fmt::format("Total {}{}", in_money(quote.total, quote.currency),
                               quote.limit ? ", limit " + in_money(*quote.limit, quote.currency) : ""),
                   4, "  -");
  }
  out += "\nAdvised\n";
  for (const auto& answer : kept.answers) {
    out += wrapped(fmt::format("{}: {}", answer.about, compiler::listed(answer.possible, "or")), 4, "  -");
    for (const auto& reason : reasons_on_record(answer)) out += wrapped(reason, 4);
  }
  out += "\n" + wrapped(standing_caution, 0);
}

void write_again(const Reopened& opened, std::string& out) {
  if (opened.as_recorded()) {
    out += wrapped(why_as_recorded(opened), 0);
    write_record(*opened.kept, out);
    out += beside_text(opened.instead, std::nullopt);
    return;
  }
  if (!opened.again) {
    out += wrapped(fmt::format("It can't be worked out again: {}.", opened.why_not), 0);
    return;
  }
  if (opened.again->same_bytes) {
    out += wrapped("Worked out again under its own sealed policy: the same answer, to the last byte.", 0);
  } else if (opened.same_answer()) {
    out += wrapped(
        "Worked out again under its own sealed policy: the same answer. This lacestay only words it otherwise "
        "than the one that gave it.",
        0);
  } else {
    out += wrapped("Worked out again under its own sealed policy, another answer comes out:", 0);
    for (const auto& other : opened.again->others) out += wrapped(became(other), 4, "  -");
  }
}

void write_reasons(const Advice& advice, const std::string& about, const char* when, std::string& out) {
  for (const auto& part : parts_of(advice, about))
    if (speaks(part))
      out += wrapped(fmt::format("{}: {}", part.says, text_of_rule(part)), 12, fmt::format("    {}", when));
}

void write_under(const Reopened& opened, const UnderPolicy& under, std::string& out) {
  out += fmt::format("\nUnder {}, edition {} ({}), on {}\n", under.title, under.edition, under.file, under.day);
  if (opened.kept->quote)
    out += wrapped("the advice alone: what was in stock was looked through for the policy of then", 2);
  if (!under.passed_over.empty())
    out += wrapped("not asked there, and left blank: " + compiler::listed(under.passed_over), 2);
  for (const auto& sentence : under.nobody) out += wrapped("it has nobody like that: " + sentence, 2);
  if (!under.answered) return;
  if (under.answered->others.empty()) out += wrapped("the same answers", 2);
  for (const auto& other : under.answered->others) {
    out += wrapped(became(other), 2);
    if (opened.again) write_reasons(opened.again->advice, other.about, "then", out);
    write_reasons(under.answered->advice, other.about, "there", out);
  }
}

}  // namespace

std::vector<std::string> reasons_on_record(const KeptAnswer& answer) {
  std::vector<std::string> lines;
  // A caution is about the rule that says it.
  if (!answer.decided.empty() && answer.decided != std::vector{answer.about})
    lines.push_back("by " + compiler::listed(answer.decided));
  if (!answer.outranked.empty()) lines.push_back("outranked: " + compiler::listed(answer.outranked));
  if (!answer.overruled.empty()) lines.push_back("overruled: " + compiler::listed(answer.overruled));
  if (answer.near_edge) lines.push_back("a measure taken a little wrong would have changed it");
  return lines;
}

std::string why_as_recorded(const Reopened& opened) {
  return fmt::format(
      "This is as it was recorded, and was not worked out again: {}. That is no fault of the entry; a lacestay that "
      "reads that form works it out again.",
      opened.why_not);
}

std::vector<Part> parts_of(const Advice& advice, const std::string& about) {
  for (const auto& piece : advice.pieces) {
    if (name_on_record(piece.name) == about) return piece.presence.parts;
    for (const auto& property : piece.properties)
      if (name_on_record(piece.name, property.name) == about) return property.answer.parts;
  }
  std::vector<Part> parts;
  for (const auto& caution : advice.cautions)
    if (caution.part.rule == about) parts.push_back(caution.part);
  return parts;
}

std::string text_of(const Reopened& opened) {
  const auto& entry = opened.entry;
  auto out = fmt::format("Entry {}: {}\n", entry.number, kind_in_words(entry.kind));
  out += field("when", fmt::format("{} here, {}", local_time(entry.at), entry.at));
  if (opened.policy)
    out += field("policy", fmt::format("{}, edition {} (sealed {})", opened.policy->title, opened.policy->edition,
                                       opened.policy->seal.substr(0, 12)));
  if (entry.about) out += field("about", fmt::format("entry {}", *entry.about));
  if (opened.kept && opened.kept->served_by) out += field("served by", *opened.kept->served_by);
  for (const auto& sale : opened.sold) out += field("sold", sale);
  for (const auto& sale : opened.given_back) out += field("given back", sale);
  out += field("hash", entry.hash) + "\n";
  for (const auto& what : opened.altered) out += wrapped("NOT AS IT WAS WRITTEN: " + what + ".", 0);
  if (opened.erased())
    return out + wrapped(opened.erased_by
                             ? fmt::format("What it held was erased on {}, which entry {} records; nothing "
                                           "of it is left.",
                                           local_time(opened.erased_by->at), opened.erased_by->number)
                             : "What it held is gone.",
                         0);
  if (!opened.why_not.empty() && !opened.kept) return out + wrapped(capital(opened.why_not) + ".", 0);
  if (opened.handed_over) return out + text_of(std::vector{*opened.handed_over});
  if (opened.by_hand) return out + text_of(*opened.by_hand);
  if (entry.kind == EntryKind::given_back)
    return out + wrapped(capital(gist_of(entry)) + " was given back to the stock.", 0);
  if (entry.kind == EntryKind::sold) return out + wrapped(capital(gist_of(entry)) + " was taken from the stock.", 0);
  if (opened.erasure) {
    std::vector<std::string> numbers;
    for (const auto number : opened.erasure->erased) numbers.push_back(fmt::format("{}", number));
    return out + wrapped(fmt::format("Erased: {} ({}).", compiler::listed(numbers), opened.erasure->why), 0);
  }
  write_again(opened, out);
  if (opened.again) {
    out += beside_text(opened.instead, std::nullopt) + "\n";
    // What stands beside it is told above, once.
    auto advice = opened.again->advice;
    advice.handed_over.clear();
    if (auto quote = opened.again->quote) {
      quote->handed_over.clear();
      out += text_of(*quote) + "\nThe advice behind it\n\n";
      advice.entry.reset();
    }
    out += text_of(advice);
  }
  if (opened.under) write_under(opened, *opened.under, out);
  return out;
}

}  // namespace lacestay::runtime
