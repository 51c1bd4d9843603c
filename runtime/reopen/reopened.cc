#include "runtime/reopen/reopened.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "runtime/base/json_parts.hpp"
#include "runtime/base/moment.hpp"
#include "runtime/reopen/handed_over.hpp"
#include "runtime/seal/sealed_policy.hpp"

namespace lacestay::runtime {

using Json = nlohmann::json;

namespace {

Json json_of_content(const Entry& entry) {
  return entry.content ? Json::parse(*entry.content, nullptr, false) : Json(nullptr);
}

// The number of the sale, of an entry of that kind.
std::optional<std::int64_t> sale_in(const Entry& entry) {
  const auto said = json_of_content(entry);
  const bool good = said.is_object() && said.contains("sale") && said["sale"].is_number_integer();
  return good ? std::optional(said["sale"].get<std::int64_t>()) : std::nullopt;
}

// The sealed policy an entry rests on, ready to be asked.
struct SealedEngine {
  std::shared_ptr<const Engine> engine;
  std::string seal;
};

// Where it can't be had, the problem's message is a clause that says why; its code is that of `unseal`, if any.
Result<SealedEngine> engine_of(Daybook& daybook, const std::string& policy) {
  const auto kept = daybook.policy(policy);
  if (!kept) return Problem{"", "the policy it rests on is not in the daybook"};
  const auto unsealed = unseal(kept->document);
  if (!unsealed)
    return Problem{unsealed.problem().code, "the policy it rests on can't be unsealed: " + unsealed.problem().message};
  auto engine = Engine::build(unsealed->policy);
  if (!engine) return engine.problem();
  return SealedEngine{std::move(*engine), unsealed->sha256};
}

}  // namespace

std::optional<HandedOver> handed_over_in(const Entry& entry) {
  try {
    const auto said = json_of_content(entry);
    const auto about = said.at("about").get<std::string>();
    const auto end = std::min(about.find(' '), about.size());
    // What was recorded before this was looked at names no rule that is broken.
    std::vector<HandedOver::Broken> broken;
    for (const auto& each : said.value("broken", Json::array()))
      broken.push_back({each.at("rule").get<std::string>(), each.at("asks").get<std::string>()});
    return HandedOver{about.substr(0, end),
                      about.substr(std::min(end + 1, about.size())),
                      said.at("advised").get<std::string>(),
                      said.at("what").get<std::string>(),
                      said.at("by").get<std::string>(),
                      said.at("why").get<std::string>(),
                      said.at("safety").get<std::vector<std::string>>(),
                      said.value("protection", false),
                      std::move(broken)};
  } catch (const Json::exception&) {
    return std::nullopt;
  }
}

Reopened reopen(Daybook& daybook, const Entry& entry) {
  Reopened opened;
  opened.entry = entry;
  opened.beside = daybook.about(entry.number);
  const auto look_at = [&](std::int64_t number) {
    if (const auto fault = daybook.fault_of(number))
      opened.altered.push_back(fmt::format("entry {}: {}", number, *fault));
  };
  look_at(entry.number);
  std::vector<HandedOver> handed_over;
  for (const auto number : opened.beside) {
    look_at(number);
    const auto other = daybook.entry(number);
    if (!other || !other->content) continue;
    const auto dated = [&] { return fmt::format("{}, {}", gist_of(*other), local_time(other->at)); };
    if (other->kind == EntryKind::sold)
      opened.sold.push_back(dated());
    else if (other->kind == EntryKind::given_back)
      opened.given_back.push_back(dated());
    else if (auto said = handed_over_in(*other))
      handed_over.push_back(std::move(*said));
  }
  std::shared_ptr<const Engine> engine;
  std::optional<Problem> no_engine;
  if (entry.policy) {
    if (auto sealed = engine_of(daybook, *entry.policy)) {
      engine = std::move(sealed->engine);
      // What its row says beside the document is under no hash.
      opened.policy = KeptPolicy{engine->policy().title, engine->policy().edition, sealed->seal, ""};
    } else {
      no_engine = sealed.problem();
    }
  }
  const bool policy_of_other_form = no_engine && no_engine->code == of_another_form;
  if (no_engine && !policy_of_other_form) opened.why_not = no_engine->message;
  if (opened.erased()) {
    opened.erased_by = daybook.erasure_of(entry.number);
    return opened;
  }
  const auto form = form_of_content(*entry.content);
  const bool newer = form > content_form;
  const auto could_not_be_read = [&] {
    if (!newer) {
      opened.why_not = "its content can't be read";
    } else if (opened.why_not.empty()) {
      opened.why_not = fmt::format("a newer lacestay wrote it, in form {}, of which this one can read nothing", *form);
      opened.other_form = true;
    }
  };
  switch (entry.kind) {
    case EntryKind::handed_over:
      opened.handed_over = handed_over_in(entry);
      if (!opened.handed_over) could_not_be_read();
      return opened;
    case EntryKind::by_hand:
      opened.by_hand = fitted_by_hand_in(entry);
      if (!opened.by_hand) could_not_be_read();
      return opened;
    case EntryKind::erasure:
      opened.erasure = erasure_in(*entry.content);
      if (!opened.erasure) could_not_be_read();
      return opened;
    case EntryKind::sold:
    case EntryKind::given_back:
      if (!sale_in(entry)) could_not_be_read();
      return opened;
    default: break;
  }
  opened.kept = kept_advice(*entry.content);
  if (!opened.kept) {
    could_not_be_read();
    return opened;
  }
  if (policy_of_other_form || (newer && !no_engine)) {
    opened.why_not = newer ? fmt::format("it is written in form {}, this lacestay reads form {}", *form, content_form)
                           : no_engine->message;
    opened.other_form = true;
    opened.instead = handed_over;
    return opened;
  }
  if (!engine) return opened;
  std::vector<std::string> shelves;
  if (opened.kept->quote)
    for (const auto& named : opened.kept->quote->shelves) shelves.push_back(daybook.shelf(named).value_or(""));
  auto again = answer_again(*engine, *opened.kept, shelves);
  if (!again) {
    opened.why_not = again.problem().message;
    return opened;
  }
  opened.again = std::move(*again);
  opened.instead = handed_over;
  const EntryReference here{entry.number, entry.hash};
  opened.again->advice.entry = here;
  opened.again->advice.handed_over = handed_over;
  if (auto& quote = opened.again->quote) {
    quote->entry = here;
    quote->handed_over = handed_over;
    quote->served_by = opened.kept->served_by;
  }
  return opened;
}

UnderPolicy under_policy(const Engine& engine, const std::string& file, const KeptAdvice& kept, std::int64_t day) {
  UnderPolicy under;
  under.file = file;
  under.title = engine.policy().title;
  under.edition = engine.policy().edition;
  under.answered = answer_under(engine, kept, day, under.passed_over, under.nobody);
  under.day = compiler::show(day, compiler::Dimension::day, {});
  return under;
}

Result<HandedOver> handed_over_of(const Reopened& opened, const std::string& what) {
  if (!opened.again)
    return Problem{
        "", opened.other_form
                ? fmt::format("entry {} can't be held against it: {}", opened.entry.number, opened.why_not)
                : fmt::format("entry {} holds no advice that something could be put beside", opened.entry.number)};
  auto said = read_handed_over(opened.again->advice, what);
  if (said && opened.again->quote)
    for (const auto& line : opened.again->quote->lines)
      if (line.piece == said->piece) said->advised += fmt::format(" ({} in the quote)", line.item.number);
  return said;
}

NewEntry entry_of(const Reopened& opened, const HandedOver& said) {
  NewEntry made;
  made.kind = EntryKind::handed_over;
  made.policy = opened.entry.policy;
  made.about = opened.entry.number;
  auto broken = Json::array();
  for (const auto& [rule, asks] : said.broken) broken.push_back({{"rule", rule}, {"asks", asks}});
  made.content = compact_text(Json{{"format", content_form},
                                   {"about", said.about()},
                                   {"advised", said.advised},
                                   {"what", said.what},
                                   {"by", said.by},
                                   {"why", said.why},
                                   {"safety", said.safety},
                                   {"protection", said.protection},
                                   {"broken", std::move(broken)}});
  made.names.push_back("piece " + said.piece);
  return made;
}

NewEntry entry_of_sale(const EntryReference& quote, const std::string& policy, std::int64_t sale,
                       const std::string& at) {
  NewEntry made;
  made.kind = EntryKind::sold;
  made.policy = policy;
  made.about = quote.number;
  made.content = compact_text(Json{{"format", content_form}, {"sale", sale}, {"at", at}});
  made.names.push_back(fmt::format("sale {}", sale));
  return made;
}

Result<std::vector<RecordedSale>> recorded_sales(Daybook& daybook, std::int64_t sale) {
  Sought sought;
  sought.names.push_back(fmt::format("sale {}", sale));
  std::vector<RecordedSale> sales;
  for (const auto number : daybook.find(sought)) {
    if (const auto fault = daybook.fault_of(number)) return Problem{"", fmt::format("entry {}: {}", number, *fault)};
    const auto entry = daybook.entry(number);
    if (!entry || entry->kind != EntryKind::sold || !entry->content) continue;
    const auto said = json_of_content(*entry);
    if (sale_in(*entry) != sale || !said.contains("at") || !said["at"].is_string())
      return Problem{"", fmt::format("entry {}: its content can't be read", number)};
    sales.push_back({sale, said["at"].get<std::string>(), entry->policy, entry->about});
  }
  return sales;
}

NewEntry entry_of_giving_back(const RecordedSale& sold) {
  NewEntry made;
  made.kind = EntryKind::given_back;
  made.policy = sold.policy;
  made.about = sold.about;
  made.content = compact_text(Json{{"format", content_form}, {"sale", sold.sale}});
  return made;
}

std::string gist_of(const Entry& entry) {
  if (!entry.content) return "erased";
  if (entry.kind == EntryKind::handed_over) {
    const auto said = handed_over_in(entry);
    return said ? fmt::format("beside entry {}: {}", entry.about.value_or(0), said->what) : "";
  }
  if (entry.kind == EntryKind::by_hand) {
    const auto fitted = fitted_by_hand_in(entry);
    return fitted ? fmt::format("{}; {}", fitted->what, fitted->by) : "";
  }
  if (entry.kind == EntryKind::sold || entry.kind == EntryKind::given_back) {
    const auto sale = sale_in(entry);
    return sale ? fmt::format("sale {}", *sale) : "";
  }
  if (entry.kind == EntryKind::erasure) {
    const auto said = erasure_in(*entry.content);
    if (!said) return "";
    const auto count = said->erased.size();
    const auto which = count == 1 ? fmt::format("entry {}", said->erased.front()) : fmt::format("{} entries", count);
    return fmt::format("of {} ({})", which, said->why);
  }
  const auto kept = kept_advice(*entry.content);
  if (!kept) return "";
  std::vector<std::string> parts;
  if (kept->quote) {
    const auto count = kept->quote->lines.size();
    parts.push_back(fmt::format("{} {}, {}", count, count == 1 ? "item" : "items",
                                in_money(kept->quote->total, kept->quote->currency)));
  } else {
    const auto needed = std::count_if(kept->answers.begin(), kept->answers.end(), is_needed);
    parts.push_back(fmt::format("{} {} needed", needed, needed == 1 ? "piece" : "pieces"));
  }
  // Enough to know a customer by: the first that the policy asks.
  constexpr std::size_t most_details = 4;
  std::vector<std::string> details;
  for (std::size_t i = 0; i < kept->details.size() && i < most_details; ++i)
    details.push_back(kept->details[i].name + " " + kept->details[i].text);
  if (!details.empty()) parts.push_back(fmt::format("{}", fmt::join(details, ", ")));
  if (kept->served_by) parts.push_back(*kept->served_by);
  return fmt::format("{}", fmt::join(parts, "; "));
}

}  // namespace lacestay::runtime
