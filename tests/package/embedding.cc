// A program of somebody else's, that knows nothing of lacestay but its installed header.
#include <cstdio>
#include <lacestay.hpp>
#include <thread>

namespace {

constexpr const char* corner_shop = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
money EUR
ask age 4 to 90 years, whole
ask weight 12 to 180 kg
piece stick always "Stick"
  flex  band 20 to 110 flex step 5 flex "Flex"
piece neck_guard optional "Neck guard"
chart flex_chart gives stick flex
  down weight
    under 40 kg:  35 to 45 flex
    the rest:     60 to 75 flex
  because "It must bend."
rule young_neck
  need neck_guard
  for age under 18
  because "Cuts to the neck are rare and can kill."
  safety
)";

int failures = 0;
void check(bool holds, const char* what) {
  if (holds) return;
  std::fprintf(stderr, "not so: %s\n", what);
  ++failures;
}

const lacestay::Day day = std::chrono::year{2026} / 11 / 29;

void small_policy() {
  const auto policy = lacestay::read_policy_text("corner.fitting", corner_shop);
  check(static_cast<bool>(policy), "a policy in memory is read");
  if (!policy) return void(std::fputs(policy.told().c_str(), stderr));
  check(policy->title() == "Corner shop" && policy->edition() == 1 && policy->currency() == "EUR", "its heading");

  const auto child = policy->player({{"age", "9 years"}, {"weight", "66 lb"}});
  check(static_cast<bool>(child), "a player is read");
  const auto advice = policy->advise(*child, day);
  using Kind = lacestay::Line::Kind;
  check(advice.certain && advice.lines.size() == 3, "three certain lines");
  check(advice.lines[1].piece == "stick" && advice.lines[1].property == "flex" &&
            advice.lines[1].kind == Kind::answer &&
            advice.lines[1].possible == std::vector<std::string>{"35 to 45 flex"} &&
            advice.lines[1].reasons.at(0).rule == "flex_chart" && advice.lines[1].reasons[0].because == "It must bend.",
        "the flex, with its reason");
  check(advice.lines[2].piece == "neck_guard" && advice.lines[2].kind == Kind::needed &&
            advice.lines[2].reasons[0].safety,
        "the neck guard, by a safety rule");
  check(advice.json().find("\"flex_chart\"") != std::string::npos &&
            advice.text().find("It must bend.") != std::string::npos && advice.page().find("<!DOCTYPE html>") == 0 &&
            !advice.cautions.empty(),
        "its faces");

  const auto unknown = policy->advise(*policy->player({{"age", "9 years"}}), day);
  check(!unknown.certain && unknown.lines[1].kind == Kind::open && unknown.lines[1].possible.size() == 2 &&
            unknown.take_next == "weight" && unknown.not_known == std::vector<std::string>{"weight"},
        "what is open, and what to take");

  const auto wrong = policy->player({{"age", "9 years"}, {"weight", "30"}});
  check(!wrong && wrong.troubles().size() == 1 && !wrong.troubles()[0].code.empty() &&
            !wrong.troubles()[0].to_try.empty() && !wrong.told().empty(),
        "a bare number is refused, with what to try");
  try {
    (void)wrong.value();
    check(false, "no value is taken where there is none");
  } catch (const std::logic_error&) {
  }

  // A sealed policy answers alike.
  const auto sealed = lacestay::read_policy_text("sealed", policy->sealed());
  check(sealed &&
            sealed->advise(*sealed->player_from_json(R"({"age": 9, "weight": "66 lb"})"), day).json() == advice.json(),
        "the sealed policy says the same");
  try {
    (void)sealed->advise(*child, day);
    check(false, "a player of one policy is no player of another");
  } catch (const std::logic_error&) {
  }
  const auto compared = lacestay::compare(*policy, *sealed);
  check(compared.same && compared.json().find("\"format\"") != std::string::npos && !compared.text().empty(),
        "and compares the same");
  // An answer outlives what it was asked of.
  const auto outlived = [] {
    const auto gone = lacestay::read_policy_text("corner.fitting", corner_shop);
    return gone->advise(*gone->player({{"age", "9 years"}, {"weight", "66 lb"}}), day);
  }();
  check(outlived.page() == advice.page(), "a face of an answer whose policy is gone");
}

void refused_policies() {
  const auto two_answers = lacestay::read_policy_text(
      "two.fitting", std::string(corner_shop) + "rule soft\n  set stick flex to 30 to 40 flex\n  for age under 10\n");
  check(!two_answers && two_answers.troubles()[0].code.find("proof-") == 0 &&
            two_answers.troubles()[0].file == "two.fitting" && two_answers.troubles()[0].line > 0,
        "a policy with two answers is refused by the proof, with the place");
  check(!lacestay::read_policy_text("slip.fitting", "polcy \"x\"\n"), "a slip is refused");
  check(!lacestay::read_policy("nowhere.fitting"), "a missing file is told");
}

void shipped_policy(const std::string& policies) {
  const auto policy = lacestay::read_policy(policies + "/northgate.fitting");
  check(static_cast<bool>(policy), "the shipped policy is read");
  if (!policy) return void(std::fputs(policy.told().c_str(), stderr));
  const auto stock = policy->stock(policies + "/stock");
  check(static_cast<bool>(stock) && stock->set_aside().empty() && stock->settled().empty(), "its stock is read");
  const auto no_stock = policy->stock(policies + "/nowhere");
  check(!no_stock && no_stock.troubles().size() == 1 && no_stock.troubles()[0].code == "sale-1",
        "a folder that is not there is told");
  const auto player = policy->player({{"age", "31"}, {"weight", "70 kg"}, {"role", "skater"}}, {"helmet"});
  const auto quote = policy->quote(*player, *stock, day, 100);
  check(!quote.not_quoted.empty() && quote.json().find("\"not_quoted\"") != std::string::npos &&
            quote.text().find(quote.not_quoted[0].second) != std::string::npos &&
            quote.page().find("<!DOCTYPE html>") == 0,
        "a quote says what it can't give");

  // From several threads at once, the same to the byte.
  const auto advice = policy->advise(*player, day);
  const auto said = advice.json(), shown = advice.page();
  int unlike = 0;
  {
    std::vector<std::jthread> threads;
    std::vector<int> other(4);
    for (std::size_t i = 0; i < other.size(); ++i)
      threads.emplace_back(
          [&, i] { other[i] = policy->advise(*player, day).json() == said && advice.page() == shown ? 0 : 1; });
    threads.clear();
    for (const auto each : other) unlike += each;
  }
  check(unlike == 0, "four threads say the same");
  const auto earlier = lacestay::read_policy(policies + "/northgate_edition_3.fitting");
  check(earlier && !lacestay::compare(*earlier, *policy).same, "two editions differ");
}

}  // namespace

int main(int count, char** words) {
  small_policy();
  refused_policies();
  if (count > 1) shipped_policy(words[1]);
  if (failures == 0) std::printf("lacestay %s, embedded: all as its header says\n", lacestay::version());
  return failures == 0 ? 0 : 1;
}
