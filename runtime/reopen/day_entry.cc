#include "runtime/reopen/day_entry.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>

#include "compiler/values/days.hpp"
#include "grammar/tree/units.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/base/json_parts.hpp"
#include "runtime/base/sha256.hpp"
#include "runtime/quote/json.hpp"
#include "runtime/reopen/kept_shelf.hpp"

namespace lacestay::runtime {

using Json = nlohmann::json;

namespace {

// Of an advice or a quote that has not been told yet where it stands in the daybook.
template <typename Said>
std::string hash_of_said(const Said& said) {
  return sha256(compact_text(json_of(said)));
}

KeptAnswer kept_of(const compiler::Policy& policy, std::string about, const Answer& answer) {
  KeptAnswer kept;
  kept.about = std::move(about);
  kept.possible = possible_in_words(policy, answer);
  for (const auto& part : answer.parts) {
    using Role = compiler::Role::Kind;
    if (speaks(part)) kept.decided.push_back(part.rule);
    if (part.role == Role::silenced) kept.outranked.push_back(part.rule);
    if (part.role == Role::overruled) kept.overruled.push_back(part.rule);
  }
  kept.for_fitter = answer.certain && answer.standing == Standing::referred;
  kept.near_edge = !answer.measure_again.empty();
  return kept;
}

std::vector<KeptAnswer> answers_of(const Advice& advice) {
  std::vector<KeptAnswer> all;
  for (const auto& piece : advice.pieces) {
    if (piece.presence.certain && piece.presence.standing == Standing::not_in_kit) continue;
    all.push_back(kept_of(*advice.given_by, name_on_record(piece.name), piece.presence));
    for (const auto& property : piece.properties)
      all.push_back(kept_of(*advice.given_by, name_on_record(piece.name, property.name), property.answer));
  }
  for (const auto& caution : advice.cautions)
    all.push_back(
        {caution.part.rule, {caution.certain ? "said" : "said, or not"}, {caution.part.rule}, {}, {}, false, false});
  return all;
}

Json json_of_answer(const KeptAnswer& kept) {
  Json made = {{"about", kept.about}, {"possible", kept.possible}};
  if (!kept.decided.empty()) made["decided"] = kept.decided;
  if (!kept.outranked.empty()) made["outranked"] = kept.outranked;
  if (!kept.overruled.empty()) made["overruled"] = kept.overruled;
  if (kept.for_fitter) made["for_fitter"] = true;
  if (kept.near_edge) made["near_edge"] = true;
  return made;
}

Json or_null(const auto& value) { return value ? Json(*value) : Json(nullptr); }

Json content_of(const compiler::Policy& policy, const Player& player, const Advice& advice,
                const std::vector<KeptAnswer>& answers, const Serving& serving) {
  Json kept = Json::array();
  for (const auto& answer : answers) kept.push_back(json_of_answer(answer));
  Json content = {{"format", content_form},
                  {"day", compiler::iso_day(serving.day)},
                  {"served_by", or_null(serving.by)},
                  {"answers", kept},
                  {"advice", hash_of_said(advice)}};
  put_player(kept_player(policy, player), content);
  return content;
}

// What an entry is found by: its pieces and all rules that spoke.
std::vector<std::string> names_of(const Advice& advice, const std::vector<KeptAnswer>& answers) {
  std::vector<std::string> all;
  for (const auto& piece : advice.pieces)
    if (piece.may_be_in_kit)
      for (const auto& name : {piece.name, folded(piece.label)}) all.push_back("piece " + name);
  for (const auto& kept : answers) {
    for (const auto* rules : {&kept.decided, &kept.outranked, &kept.overruled})
      for (const auto& rule : *rules) all.push_back("rule " + rule);
  }
  std::sort(all.begin(), all.end());
  all.erase(std::unique(all.begin(), all.end()), all.end());
  return all;
}

KeptAnswer answer_from(const Json& json) {
  const auto list = [&](const char* name) {
    return json.contains(name) ? json.at(name).get<std::vector<std::string>>() : std::vector<std::string>{};
  };
  return {json.at("about").get<std::string>(),
          list("possible"),
          list("decided"),
          list("outranked"),
          list("overruled"),
          json.contains("for_fitter"),
          json.contains("near_edge")};
}

template <typename Value>
std::optional<Value> if_any(const Json& json) {
  return json.is_null() ? std::nullopt : std::optional(json.get<Value>());
}

KeptQuote quote_from(const Json& json) {
  KeptQuote kept;
  kept.limit = if_any<std::int64_t>(json.at("limit"));
  kept.currency = json.at("currency").get<std::string>();
  for (const auto& line : json.at("lines"))
    kept.lines.push_back({line.at("piece").get<std::string>(), line.at("item").get<std::string>(),
                          line.at("price").get<std::int64_t>()});
  kept.total = json.at("total").get<std::int64_t>();
  kept.shelves = json.at("shelves").get<std::vector<std::string>>();
  kept.hash = json.at("quote").get<std::string>();
  return kept;
}

std::int64_t day_from(const std::string& text) {
  const auto day = compiler::day_from_iso(text);
  if (!day) throw Json::other_error::create(501, "day", nullptr);
  return *day;
}

std::optional<std::uint64_t> form_in(const Json& json) {
  const bool told = json.is_object() && json.contains("format") && json["format"].is_number_unsigned();
  return told ? std::optional(json["format"].get<std::uint64_t>()) : std::nullopt;
}

KeptAdvice advice_from(const Json& json) {
  KeptAdvice kept;
  static_cast<KeptPlayer&>(kept) = player_in(json);
  kept.form = form_in(json).value_or(0);
  if (kept.form == 0) throw Json::other_error::create(501, "format", nullptr);
  kept.day = day_from(json.at("day").get<std::string>());
  kept.served_by = if_any<std::string>(json.at("served_by"));
  for (const auto& answer : json.at("answers")) kept.answers.push_back(answer_from(answer));
  kept.hash = json.at("advice").get<std::string>();
  if (json.contains("quote")) kept.quote = quote_from(json);
  return kept;
}

// Whether an entry of a form says by `before` what `now` says. In form 1 what was possible of a property was told of
// players without its piece as well.
bool says_the_same(const KeptAnswer& before, const KeptAnswer& now, std::uint64_t form) {
  const bool of_property = now.about.find(' ') != std::string::npos;
  if (form > 1 || !of_property) return before.possible == now.possible;
  return std::all_of(now.possible.begin(), now.possible.end(), [&](const std::string& each) {
    return std::find(before.possible.begin(), before.possible.end(), each) != before.possible.end();
  });
}

// What is other now than in an entry of that form; of an answer that is gone, or new, the other side says so.
std::vector<AnsweredAgain::Other> other_answers(const std::vector<KeptAnswer>& before,
                                                const std::vector<KeptAnswer>& now, std::uint64_t form) {
  const auto text = [](const KeptAnswer& kept) { return fmt::format("{}", fmt::join(kept.possible, ", or ")); };
  std::map<std::string, const KeptAnswer*> then;
  for (const auto& kept : before) then[kept.about] = &kept;
  std::vector<AnsweredAgain::Other> others;
  for (const auto& kept : now) {
    const auto found = then.find(kept.about);
    if (found == then.end())
      others.push_back({kept.about, "", text(kept)});
    else if (!says_the_same(*found->second, kept, form))
      others.push_back({kept.about, text(*found->second), text(kept)});
    if (found != then.end()) then.erase(found);
  }
  for (const auto& kept : before)
    if (then.count(kept.about) != 0) others.push_back({kept.about, text(kept), ""});
  return others;
}

void compare_quotes(const KeptQuote& before, const Quote& now, std::vector<AnsweredAgain::Other>& others) {
  for (const auto& line : before.lines) {
    const auto found =
        std::find_if(now.lines.begin(), now.lines.end(), [&](const auto& each) { return each.piece == line.piece; });
    const auto item = found == now.lines.end() ? "none" : found->item.number;
    if (item != line.item) others.push_back({"item for " + line.piece, line.item, item});
  }
  if (now.total != before.total)
    others.push_back({"total", in_money(before.total, before.currency), in_money(now.total, now.currency)});
}

}  // namespace

NewEntry entry_of(const compiler::Policy& policy, const std::string& sha256, const Player& player, const Advice& advice,
                  const Serving& serving) {
  const auto answers = answers_of(advice);
  NewEntry made;
  made.kind = EntryKind::advice;
  made.policy = sha256;
  made.content = compact_text(content_of(policy, player, advice, answers, serving));
  made.names = names_of(advice, answers);
  return made;
}

NewEntry entry_of(const compiler::Policy& policy, const std::string& sha256, const Player& player, const Quote& quote,
                  const Stock& stock, const Serving& serving) {
  const auto answers = answers_of(quote.advice);
  NewEntry made;
  made.kind = EntryKind::quote;
  made.policy = sha256;
  made.stock = fingerprint(stock);
  made.names = names_of(quote.advice, answers);
  made.shelves = shelves_of(policy, stock, quote.chosen_from);
  auto content = content_of(policy, player, quote.advice, answers, serving);
  auto lines = Json::array(), shelves = Json::array();
  for (const auto& line : quote.lines) {
    lines.push_back({{"piece", line.piece}, {"item", line.item.number}, {"price", line.item.price}});
    made.items.push_back(line.item.number);
  }
  for (const auto& shelf : made.shelves) shelves.push_back(runtime::sha256(shelf));
  content.update({{"limit", or_null(quote.limit)},
                  {"currency", quote.currency},
                  {"lines", lines},
                  {"total", quote.total},
                  {"shelves", shelves},
                  {"quote", hash_of_said(quote)}});
  made.content = compact_text(content);
  return made;
}

std::string fingerprint(const Stock& stock) {
  std::string all;
  for (const auto& file : stock.files) all += fmt::format("{} {}\n", sha256(file.source->text()), file.name);
  return sha256(all);
}

std::string in_money(std::int64_t sum, const std::string& currency) {
  return compiler::show(sum, compiler::Dimension::money, {{std::nullopt, currency}},
                        grammar::currency_digits(currency).value_or(2));
}

bool is_needed(const KeptAnswer& kept) { return kept.possible == std::vector<std::string>{"needed"}; }

std::optional<std::uint64_t> form_of_content(std::string_view content) {
  return form_in(Json::parse(content, nullptr, false));
}

std::optional<KeptAdvice> kept_advice(std::string_view content) {
  try {
    return advice_from(Json::parse(content));
  } catch (const Json::exception&) {
    return std::nullopt;
  }
}

Result<AnsweredAgain> answer_again(const Engine& engine, const KeptAdvice& kept,
                                   const std::vector<std::string>& shelves) {
  const auto& policy = engine.policy();
  AnsweredAgain again;
  auto player = player_of(policy, kept);
  if (!player) return player.problem();
  again.player = std::move(*player);
  if (kept.quote) {
    const auto stock = stock_of_shelves(policy, shelves);
    if (!stock) return Problem{"", "what it chose from does not belong to its policy"};
    again.quote = quote(engine, again.player, *stock, kept.day, kept.quote->limit);
  }
  again.advice = again.quote ? again.quote->advice : advise(engine, again.player, kept.day);
  again.same_bytes = hash_of_said(again.advice) == kept.hash;
  again.others = other_answers(kept.answers, answers_of(again.advice), kept.form);
  if (!again.quote) return again;
  again.same_bytes &= hash_of_said(*again.quote) == kept.quote->hash;
  compare_quotes(*kept.quote, *again.quote, again.others);
  return again;
}

std::optional<AnsweredAgain> answer_under(const Engine& engine, const KeptAdvice& kept, std::int64_t day,
                                          std::vector<std::string>& passed_over, std::vector<std::string>& nobody) {
  AnsweredAgain again;
  grammar::Diagnostics problems, refusals;
  PlayerReader reader(engine.policy(), problems);
  const auto told = [&](auto what, const std::string& named) {
    const auto before = problems.size();
    what();
    if (problems.size() > before) passed_over.push_back(named);
  };
  for (const auto& detail : kept.details)
    told([&] { reader.set(detail.name, detail.text); }, fmt::format("{} {}", detail.name, detail.text));
  for (const auto& piece : kept.owns) told([&] { reader.set_owned(piece); }, "owns " + piece);
  auto player = reader.take(refusals);
  for (const auto& refusal : refusals.sorted()) nobody.push_back(refusal.message);
  if (!player) return std::nullopt;
  again.player = std::move(*player);
  again.advice = advise(engine, again.player, day);
  again.others = other_answers(kept.answers, answers_of(again.advice), content_form);
  return again;
}

}  // namespace lacestay::runtime
