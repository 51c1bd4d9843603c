// The public header, carried out by the rooms: what it promises of handles, threads and errors is seen to here.
#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <new>

#include "compiler/values/money.hpp"
#include "runtime/advice/html.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/base/version.hpp"
#include "runtime/compare/comparison.hpp"
#include "runtime/compare/json.hpp"
#include "runtime/compare/text.hpp"
#include "runtime/lacestay.hpp"
#include "runtime/load/load.hpp"
#include "runtime/quote/html.hpp"
#include "runtime/quote/json.hpp"
#include "runtime/quote/quote.hpp"
#include "runtime/quote/text.hpp"
#include "runtime/sale/stock_change.hpp"
#include "runtime/seal/sealed_policy.hpp"

namespace lacestay {

struct Policy::Inside {
  std::shared_ptr<const runtime::Engine> engine;
};

struct Player::Inside {
  std::shared_ptr<const runtime::Engine> engine;  // whose policy it was read against
  runtime::Player player;
};

struct Stock::Inside {
  std::shared_ptr<const runtime::Engine> engine;
  runtime::Stock stock;
  std::vector<Trouble> set_aside;
  std::string settled;
};

struct Advice::Inside {
  runtime::Advice made;
};

struct Quote::Inside {
  runtime::Quote made;
};

struct Comparison::Inside {
  runtime::Comparison made;
};

namespace {

Trouble trouble_of(const Problem& problem) {
  Trouble trouble;
  trouble.code = problem.code;
  trouble.message = problem.message;
  trouble.to_try = problem.hint;
  trouble.text = render(problem);
  if (problem.where.source) {
    const auto place = problem.where.source->place(problem.where.begin);
    trouble.file = problem.where.source->name();
    trouble.line = place.line;
    trouble.character = place.column;
  }
  return trouble;
}

std::vector<Trouble> troubles_of(const std::vector<Problem>& problems) {
  std::vector<Trouble> all;
  for (const auto& problem : problems) all.push_back(trouble_of(problem));
  return all;
}

// What the header promises of exceptions: bad input throws none, so whatever is thrown is about the program itself,
// but for memory that is not to be had.
template <typename Work>
auto guarded(Work work) {
  try {
    return work();
  } catch (const std::bad_alloc&) {
    throw;
  } catch (const Error& error) {
    throw Fault(render(error.problem()));
  } catch (const std::exception& error) {
    throw Fault(error.what());
  }
}

void hold_to(const std::shared_ptr<const runtime::Engine>& own, const std::shared_ptr<const runtime::Engine>& other) {
  if (own != other) throw std::logic_error("lacestay: this was made for another policy");
}

std::int64_t day_number(Day day) { return day.time_since_epoch().count(); }

Reason reason_of(const runtime::Part& part) {
  return {part.rule, part.says, part.because, part.source, part.file, part.line, runtime::speaks(part), part.safety};
}

Line line_of(const compiler::Policy& policy, std::string piece, std::string property, const runtime::Answer& answer) {
  Line line{std::move(piece), std::move(property), Line::Kind::open, {}, {}};
  if (answer.certain) {
    switch (answer.standing) {
      case compiler::Standing::referred: line.kind = Line::Kind::fitter; break;
      case compiler::Standing::needed: line.kind = Line::Kind::needed; break;
      case compiler::Standing::suggested: line.kind = Line::Kind::suggested; break;
      case compiler::Standing::left_out: line.kind = Line::Kind::left_out; break;
      case compiler::Standing::not_in_kit: line.kind = Line::Kind::not_in_kit; break;
      default: line.kind = Line::Kind::answer;
    }
  }
  line.possible = runtime::possible_in_words(policy, answer);
  for (const auto& part : answer.parts) line.reasons.push_back(reason_of(part));
  std::stable_partition(line.reasons.begin(), line.reasons.end(), [](const Reason& reason) { return reason.decides; });
  return line;
}

Read<Policy> read(runtime::Loaded loaded) {
  if (loaded.refused != runtime::Loaded::Refused::no) return troubles_of(loaded.problems);
  return Policy(std::make_shared<const Policy::Inside>(Policy::Inside{std::move(loaded.engine)}));
}

}  // namespace

std::string Advice::json() const {
  return guarded([&] { return runtime::json_text(runtime::json_of(inside_->made)); });
}
std::string Advice::text() const {
  return guarded([&] { return runtime::text_of(inside_->made); });
}
std::string Advice::page() const {
  return guarded([&] { return runtime::page_of(inside_->made); });
}

std::string Quote::json() const {
  return guarded([&] { return runtime::json_text(runtime::json_of(inside_->made)); });
}
std::string Quote::text() const {
  return guarded([&] { return runtime::text_of(inside_->made); });
}
std::string Quote::page() const {
  return guarded([&] { return runtime::page_of(inside_->made); });
}

std::string Comparison::json() const {
  return guarded([&] { return runtime::json_text(runtime::json_of(inside_->made)); });
}
std::string Comparison::text() const {
  return guarded([&] { return runtime::text_of(inside_->made); });
}

const std::vector<Trouble>& Stock::set_aside() const { return inside_->set_aside; }
const std::string& Stock::settled() const { return inside_->settled; }

const std::string& Policy::title() const { return inside_->engine->policy().title; }
std::int64_t Policy::edition() const { return inside_->engine->policy().edition; }
const std::string& Policy::currency() const { return inside_->engine->policy().currency; }
std::string Policy::sealed() const {
  return guarded([&] { return runtime::seal(inside_->engine->policy()); });
}

Read<Player> Policy::player(const std::map<std::string, std::string>& details,
                            const std::vector<std::string>& owns) const {
  return guarded([&]() -> Read<Player> {
    grammar::Diagnostics problems;
    runtime::PlayerReader reader(inside_->engine->policy(), problems);
    for (const auto& [name, text] : details) reader.set(name, text);
    for (const auto& piece : owns) reader.set_owned(piece);
    auto player = problems.empty() ? reader.take() : std::nullopt;
    if (!player) return troubles_of(problems.sorted());
    return Player(std::make_shared<const Player::Inside>(Player::Inside{inside_->engine, std::move(*player)}));
  });
}

Read<Player> Policy::player_from_json(std::string_view json) const {
  return guarded([&]() -> Read<Player> {
    grammar::Diagnostics problems;
    auto player = runtime::player_from_json(inside_->engine->policy(), json, problems);
    if (!player) return troubles_of(problems.sorted());
    return Player(std::make_shared<const Player::Inside>(Player::Inside{inside_->engine, std::move(*player)}));
  });
}

Read<Stock> Policy::stock(const std::string& folder) const {
  return guarded([&]() -> Read<Stock> {
    auto settled = runtime::settle(folder);
    if (!settled) return troubles_of({settled.problem()});
    auto stock = runtime::read_stock(inside_->engine->policy(), folder, {std::string(runtime::sales_record_name)});
    auto troubles = troubles_of(stock.problems.sorted());
    if (stock.items.empty() && !troubles.empty()) return troubles;
    return Stock(std::make_shared<const Stock::Inside>(
        Stock::Inside{inside_->engine, std::move(stock), std::move(troubles), std::move(*settled)}));
  });
}

Advice Policy::advise(const Player& player, Day today) const {
  hold_to(inside_->engine, player.inside().engine);
  return guarded([&] {
    const auto inside = std::make_shared<const Advice::Inside>(
        Advice::Inside{runtime::advise(*inside_->engine, player.inside().player, day_number(today))});
    const auto& made = inside->made;
    Advice advice(inside);
    for (const auto& piece : made.pieces) {
      advice.lines.push_back(line_of(inside_->engine->policy(), piece.name, "", piece.presence));
      for (const auto& property : piece.properties)
        advice.lines.push_back(line_of(inside_->engine->policy(), piece.name, property.name, property.answer));
    }
    for (const auto& caution : made.cautions) advice.cautions.push_back(runtime::text_of(caution));
    advice.cautions.emplace_back(runtime::standing_caution);
    advice.not_known = made.not_known;
    advice.take_next = made.take_next.value_or("");
    advice.certain = made.certain;
    return advice;
  });
}

Quote Policy::quote(const Player& player, const Stock& stock, Day today, std::optional<std::int64_t> limit) const {
  hold_to(inside_->engine, player.inside().engine);
  hold_to(inside_->engine, stock.inside().engine);
  if (limit && (*limit < 0 || *limit > largest_sum)) throw std::logic_error("lacestay: no such limit");
  return guarded([&] {
    const auto inside = std::make_shared<const Quote::Inside>(Quote::Inside{
        runtime::quote(*inside_->engine, player.inside().player, stock.inside().stock, day_number(today), limit)});
    const auto& made = inside->made;
    Quote quote(inside);
    for (const auto& line : made.lines)
      quote.lines.push_back({line.piece, line.item.number, line.item.make, line.item.model, line.item.price});
    for (const auto& missing : made.not_quoted)
      quote.not_quoted.emplace_back(missing.piece, runtime::why_text(missing));
    quote.total = made.total;
    quote.within_limit = !made.over_limit;
    quote.proved_best = made.status != runtime::KitStatus::refused && made.value == made.bound;
    return quote;
  });
}

Read<Policy> read_policy(const std::string& path) {
  return guarded([&] { return read(runtime::load_policy(path, runtime::Proving::required)); });
}
Read<Policy> read_policy_text(const std::string& name, std::string text) {
  return guarded([&] { return read(runtime::load_policy_text(name, std::move(text), runtime::Proving::required)); });
}

Comparison compare(const Policy& earlier, const Policy& later) {
  return guarded([&] {
    const auto &before = *earlier.inside().engine, &after = *later.inside().engine;
    const auto inside = std::make_shared<const Comparison::Inside>(Comparison::Inside{
        runtime::comparison_of(before, after, compiler::differences(before.policy(), after.policy()))});
    Comparison comparison(inside);
    comparison.same = !inside->made.any();
    return comparison;
  });
}

const char* version() { return runtime::version(); }

}  // namespace lacestay
