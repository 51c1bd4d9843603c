#include "runtime/advice/text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/values/names.hpp"
#include "grammar/text/letters.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/base/layout.hpp"

namespace lacestay::runtime {

using grammar::capital;
using Role = compiler::Role::Kind;

namespace {

constexpr std::size_t label_indent = 4;
constexpr std::size_t answer_indent = 22;

std::string either(const compiler::Policy& policy, const Answer& answer) {
  constexpr std::size_t most_listed = 6;
  const auto all = possible_in_words(policy, answer);
  const auto which = all.size() <= most_listed ? joined_by_or(answer, all)
                                               : fmt::format("one of {}, such as {}, {} or {}", all.size(), all.front(),
                                                             all[all.size() / 2], all.back());
  return which + (answer.exact ? "" : " (some of these could not be ruled out)");
}

std::string text_of(const std::vector<LookedAt>& looked_at) {
  std::vector<std::string> looked;
  for (const auto& detail : looked_at)
    looked.push_back(
        fmt::format("{} {}{}", detail.detail, detail.told, detail.edge.empty() ? "" : " (" + detail.edge + ")"));
  return fmt::format("{}", fmt::join(looked, ", "));
}

// Reasons shared by several rules are said once, and so is how a detail was worked out.
void write_parts(const compiler::Policy& policy, const Answer& answer, std::string& out) {
  const auto line = [&](const std::string& text) { out += wrapped(text, answer_indent); };
  std::vector<std::string> said;
  for (const auto& part : answer.parts) {
    if (speaks(part)) {
      if (!part.because.empty() && std::find(said.begin(), said.end(), part.because) == said.end()) {
        line(part.because);
        said.push_back(part.because);
      }
      const bool says_more = !answer.certain || part.role != Role::decides;
      line((says_more ? part.says + ": " : std::string()) + text_of_rule(part));
      for (const auto& derived : part.derived) {
        auto text = text_of(derived);
        if (std::find(said.begin(), said.end(), text) != said.end()) continue;
        line(text);
        said.push_back(std::move(text));
      }
    }
  }
  for (const auto& part : answer.parts)
    if (part.role == Role::silenced || part.role == Role::overruled)
      line(fmt::format("{} says {}, but {} {}", part.rule, part.says, part.by, part.does));
  for (const auto& slip : answer.measure_again)
    line(fmt::format("measure {} again: at {} it would be {}", slip.detail, slip.told,
                     text_of_outcome(policy, answer, slip.answer)));
  if (answer.what_if)
    line(fmt::format("with {} {} it would be: {}", answer.what_if->detail, answer.what_if->told,
                     text_of_outcome(policy, answer, answer.what_if->answer)));
}

void write_piece(const compiler::Policy& policy, const PieceAdvice& piece, std::string& out) {
  out += fmt::format("\n{}: {}{}\n", capital(piece.label), either(policy, piece.presence),
                     piece.owned ? " (already owned)" : "");
  if (const auto open = needed_or_not(piece.presence); !open.empty()) out += wrapped(open_until(open), answer_indent);
  // A piece that is there by its own declaration has no reason to give.
  const bool reasoned = std::any_of(piece.presence.parts.begin(), piece.presence.parts.end(),
                                    [](const Part& part) { return !part.because.empty(); });
  if (reasoned) write_parts(policy, piece.presence, out);
  for (const auto& property : piece.properties) {
    const auto label = std::string(label_indent, ' ') + property.label;
    const bool long_label = label.size() + 2 > answer_indent;
    if (long_label) out += label + "\n";
    out += wrapped(either(policy, property.answer), answer_indent, long_label ? std::string() : label);
    write_parts(policy, property.answer, out);
  }
}

// Of a part or a derivation: "northgate.fitting line 12", "flex.csv row 5, column C".
template <typename Told>
std::string place_of(const Told& told) {
  return told.column.empty() ? fmt::format("{} line {}", told.file, told.line)
                             : fmt::format("{} row {}, column {}", told.file, told.line, told.column);
}

}  // namespace

std::string text_of_rule(const Part& part) {
  const auto looked = text_of(part.looked_at);
  std::string out = fmt::format("{}{}{}, {}", looked, looked.empty() ? "by " : "; by ", part.rule, place_of(part));
  if (!part.source.empty()) out += "; source: " + part.source;
  return out + (part.safety ? "; for safety" : "");
}

std::string text_of(const Derivation& derived) {
  const auto looked = text_of(derived.looked_at);
  auto out = fmt::format("{} {}: ", derived.detail, derived.value);
  if (derived.chart.empty()) return out + (looked.empty() ? "the same for every player" : "from " + looked);
  if (!derived.because.empty()) out += derived.because + " ";
  out += fmt::format("{}{}{}, {}", looked, looked.empty() ? "by " : "; by ", derived.chart, place_of(derived));
  return derived.source.empty() ? out : out + "; source: " + derived.source;
}

std::string text_of(const Advice& advice) {
  std::string out = fmt::format("{}, edition {}, in force {}\nAdvice of {}\n", advice.policy, advice.edition,
                                advice.in_force, advice.day);
  if (advice.outside_edition) out += wrapped("This edition is not in force on that day: ask which edition is.", 0);
  out += '\n';
  std::vector<std::string> details;
  for (std::size_t i = 0; i < advice.details.size(); ++i)
    details.push_back(fmt::format("{} {}", advice.details[i].first, advice.told[i]));
  if (!details.empty()) out += wrapped(fmt::format("{}", fmt::join(details, ", ")), 8, "Player:");
  if (!advice.still_to_ask.empty())
    out += wrapped(compiler::listed(advice.still_to_ask) + ", before this advice is complete", 8, "To ask:");
  if (advice.not_known.size() > advice.still_to_ask.size()) {
    std::vector<std::string> blank;
    for (const auto& name : advice.not_known)
      if (std::find(advice.still_to_ask.begin(), advice.still_to_ask.end(), name) == advice.still_to_ask.end())
        blank.push_back(name);
    out += wrapped(compiler::listed(blank), 8, "Blank:");
  }
  if (advice.take_next)
    out += wrapped(fmt::format("take {}: it settles most of what is still open", *advice.take_next), 8, "Next:");
  for (const auto& piece : advice.pieces)
    if (piece.may_be_in_kit) write_piece(*advice.given_by, piece, out);
  std::vector<std::string> absent;
  for (const auto& piece : advice.pieces) {
    if (piece.may_be_in_kit) continue;
    if (piece.presence.standing == Standing::left_out)
      write_piece(*advice.given_by, piece, out);
    else
      absent.push_back(piece.label);
  }
  if (!absent.empty()) out += '\n', out += wrapped("Not in this kit: " + compiler::listed(absent), 0);
  if (advice.faults > 0)
    out += '\n', out += wrapped(fmt::format("This policy has no single answer for this player in {} {}: don't sell by "
                                            "it before its owner has mended it.",
                                            advice.faults, advice.faults == 1 ? "place" : "places"),
                                0);
  out += "\nCautions\n";
  for (const auto& caution : advice.cautions) out += wrapped(text_of(caution), label_indent, "  -");
  out += wrapped(standing_caution, label_indent, "  -");
  return out + beside_text(advice.handed_over, advice.entry);
}

std::string beside_text(const std::vector<HandedOver>& handed_over, const std::optional<EntryReference>& entry) {
  std::string out;
  if (!handed_over.empty()) out += "\n" + text_of(handed_over);
  return entry ? out + "\n" + entry_text(*entry) + "\n" : out;
}

std::string text_of(const std::vector<HandedOver>& handed_over) {
  std::string out = "Handed over otherwise\n";
  for (const auto& each : handed_over) {
    out += wrapped(text_of(each), label_indent, "  -");
    for (const auto& warning : warnings_of(each)) out += wrapped(text_of(warning), label_indent);
  }
  return out;
}

std::string text_of(const HandedOver& each) {
  return fmt::format("{}, where {} {} was advised. By {}: {}", each.what, each.about(), each.advised, each.by,
                     each.why);
}

std::vector<Warning> warnings_of(const HandedOver& each) {
  std::vector<Warning> all;
  for (const auto& [rule, asks] : each.broken)
    all.push_back({"This breaks a rule", fmt::format("{} says {}", rule, asks)});
  for (const auto& rule : each.safety) all.push_back({"A safety rule speaks of this", rule});
  if (each.protection)
    all.push_back({"This is protection",
                   "never used goods; a trained fitter sees to the fit, the label and the mark, and what the governing "
                   "body asks for is still owed."});
  return all;
}

std::string text_of(const Warning& warning) {
  auto heading = warning.heading;
  for (auto& c : heading) c = grammar::upper(c);
  return heading + ": " + warning.text;
}

std::string entry_text(const EntryReference& entry) {
  return fmt::format("Daybook entry {}: {}", entry.number, entry.hash);
}

}  // namespace lacestay::runtime
