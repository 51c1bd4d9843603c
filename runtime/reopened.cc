#include "runtime/reopened.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "compiler/names.hpp"
#include "grammar/units.hpp"
#include "runtime/sealed_policy.hpp"

namespace lacestay::runtime {

using Json = nlohmann::json;

namespace {

Json json_of_content(const Entry& entry) {
  return entry.content ? Json::parse(*entry.content, nullptr, false) : Json(nullptr);
}

std::optional<HandedOver> handed_over_from(const Entry& entry) {
  try {
    const auto said = json_of_content(entry);
    return HandedOver{said.at("about").get<std::string>(), said.at("advised").get<std::string>(),
                      said.at("what").get<std::string>(),  said.at("by").get<std::string>(),
                      said.at("why").get<std::string>(),   said.at("safety").get<std::vector<std::string>>()};
  } catch (const Json::exception&) {
    return std::nullopt;
  }
}

std::optional<Erasure> erasure_from(const Entry& entry) {
  try {
    const auto said = json_of_content(entry);
    return Erasure{said.at("erased").get<std::vector<std::int64_t>>(), said.at("why").get<std::string>()};
  } catch (const Json::exception&) {
    return std::nullopt;
  }
}

// An answer a fitter names, and the rules for safety behind it.
struct Named {
  std::string about, advised;
  std::vector<std::string> safety;
  std::size_t words = 0;  // how many of the fitter's name it
};

void add_safety(const Answer& answer, Named& named) {
  for (const auto& part : answer.parts) {
    if (!part.safety || !speaks(part)) continue;
    auto says = part.rule + (part.because.empty() ? "" : ": " + part.because);
    if (std::find(named.safety.begin(), named.safety.end(), says) == named.safety.end())
      named.safety.push_back(std::move(says));
  }
}

std::string text_of_answer(const Answer& answer) { return fmt::format("{}", fmt::join(answer.possible, ", or ")); }

std::vector<std::string> words_of(const std::string& text) {
  std::vector<std::string> words;
  for (std::size_t at = 0; at < text.size();) {
    const auto end = std::min(text.find_first_of(" \t", at), text.size());
    if (end > at) words.push_back(folded(text.substr(at, end - at)));
    at = end + 1;
  }
  return words;
}

// How many words from `from` on spell the name, whose parts may stand apart; 0 where they do not.
std::size_t spelled(const std::vector<std::string>& words, std::size_t from, const std::string& name) {
  std::string joined;
  for (auto i = from; i < words.size() && joined.size() < name.size(); ++i) {
    joined += (joined.empty() ? "" : "_") + words[i];
    if (joined == name) return i - from + 1;
  }
  return 0;
}

std::optional<Named> named_by(const Advice& advice, const std::string& what) {
  const auto words = words_of(what);
  const bool without = !words.empty() && words.front() == "without";
  for (const auto& piece : advice.pieces) {
    const std::size_t from = without ? 1 : 0, taken = spelled(words, from, piece.name);
    if (taken == 0) continue;
    for (const auto& property : piece.properties) {
      if (without || spelled(words, from + taken, property.name) == 0) continue;
      Named named{piece.name + " " + property.name, text_of_answer(property.answer), {}, 0};
      add_safety(property.answer, named);
      return named;
    }
    // Without a property it may concern all there is to the piece.
    Named named{piece.name, text_of_answer(piece.presence), {}, 0};
    add_safety(piece.presence, named);
    if (!without)
      for (const auto& property : piece.properties) add_safety(property.answer, named);
    return named;
  }
  return std::nullopt;
}

}  // namespace

std::shared_ptr<const Engine> engine_of(Daybook& daybook, const Entry& entry, std::string& why) {
  const auto kept = entry.policy ? daybook.policy(*entry.policy) : std::nullopt;
  if (!kept) return why = "the policy it rests on is not in the daybook", nullptr;
  auto unsealed = unseal(kept->document);
  if (!unsealed.policy) return why = "the policy it rests on can't be unsealed: " + unsealed.why, nullptr;
  return Engine::build(std::move(unsealed.policy), why);
}

Reopened reopen(Daybook& daybook, const Entry& entry) {
  Reopened opened;
  opened.entry = entry;
  opened.beside = daybook.about(entry.number);
  if (entry.policy) {
    opened.policy = daybook.policy(*entry.policy);
    if (opened.policy) opened.policy->document.clear();
  }
  if (opened.erased()) return opened;
  if (entry.kind == EntryKind::handed_over) opened.handed_over = handed_over_from(entry);
  if (entry.kind == EntryKind::erasure) opened.erasure = erasure_from(entry);
  if (entry.kind == EntryKind::handed_over || entry.kind == EntryKind::erasure) return opened;

  opened.kept = kept_advice(*entry.content);
  if (!opened.kept) return opened.why_not = "its content can't be read", opened;
  const auto engine = engine_of(daybook, entry, opened.why_not);
  if (!engine) return opened;
  std::vector<std::string> shelves;
  if (opened.kept->quote)
    for (const auto& named : opened.kept->quote->shelves) shelves.push_back(daybook.shelf(named).value_or(""));
  opened.again = answer_again(*engine, *opened.kept, shelves, opened.why_not);
  if (!opened.again) return opened;
  std::vector<HandedOver> handed_over;
  for (const auto number : opened.beside)
    if (const auto other = daybook.entry(number); other && other->kind == EntryKind::handed_over && other->content)
      if (auto said = handed_over_from(*other)) handed_over.push_back(std::move(*said));
  const EntryReference here{entry.number, entry.hash};
  opened.again->advice.entry = here;
  opened.again->advice.handed_over = handed_over;
  if (opened.again->quote) opened.again->quote->entry = here, opened.again->quote->handed_over = handed_over;
  return opened;
}

UnderPolicy under_policy(const Engine& engine, const std::string& file, const KeptAdvice& kept, std::int64_t day) {
  UnderPolicy under{file, engine.policy().title, engine.policy().edition, {}, {}};
  under.answered = answer_under(engine, kept, day, under.passed_over);
  return under;
}

std::optional<HandedOver> handed_over_of(const Reopened& opened, const std::string& what, std::string& why) {
  if (!opened.again) return why = "only beside an advice or a quote that is still there", std::nullopt;
  const auto named = named_by(opened.again->advice, what);
  if (!named) {
    std::vector<std::string> pieces;
    for (const auto& piece : opened.again->advice.pieces) pieces.push_back(piece.name);
    return why = fmt::format("'{}' begins with no piece of that policy; there are {}", what, compiler::listed(pieces)),
           std::nullopt;
  }
  return HandedOver{named->about, named->advised, what, "", "", named->safety};
}

NewEntry entry_of(const Reopened& opened, const HandedOver& said) {
  NewEntry made;
  made.kind = EntryKind::handed_over;
  made.policy = opened.entry.policy;
  made.about = opened.entry.number;
  made.content = Json{{"format", 1},   {"about", said.about}, {"advised", said.advised}, {"what", said.what},
                      {"by", said.by}, {"why", said.why},     {"safety", said.safety}}
                     .dump(-1, ' ', false, Json::error_handler_t::replace);
  made.names.push_back("piece " + said.about.substr(0, said.about.find(' ')));
  return made;
}

std::string gist_of(const Entry& entry) {
  if (!entry.content) return "erased";
  if (entry.kind == EntryKind::handed_over) {
    const auto said = handed_over_from(entry);
    return said ? fmt::format("beside entry {}: {}", entry.about.value_or(0), said->what) : "";
  }
  if (entry.kind == EntryKind::erasure) {
    const auto said = erasure_from(entry);
    return said ? fmt::format("of {} ({})",
                              said->erased.size() == 1 ? fmt::format("entry {}", said->erased.front())
                                                       : fmt::format("{} entries", said->erased.size()),
                              said->why)
                : "";
  }
  const auto kept = kept_advice(*entry.content);
  if (!kept) return "";
  if (kept->quote) {
    const auto count = kept->quote->lines.size();
    return fmt::format(
        "{} {}, {}", count, count == 1 ? "item" : "items",
        compiler::show(kept->quote->total, compiler::Dimension::money, {{std::nullopt, kept->quote->currency}},
                       grammar::currency_digits(kept->quote->currency).value_or(2)));
  }
  const auto needed = std::count_if(kept->answers.begin(), kept->answers.end(), [](const auto& answer) {
    return answer.possible.size() == 1 && answer.possible.front() == "needed";
  });
  return fmt::format("{} {} needed", needed, needed == 1 ? "piece" : "pieces");
}

}  // namespace lacestay::runtime
