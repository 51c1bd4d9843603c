#include "tests/grammar/read/sayings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <sstream>

#include "runtime/advice/text.hpp"
#include "runtime/quote/text.hpp"
#include "runtime/rehearse/slip_run.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace lacestay::tests {
namespace {

const std::string sentence_mark = "### ";

// Parted at a mark that stands in no quotes; without blanks at either end.
std::vector<std::string> parted(const std::string& text, char mark) {
  std::vector<std::string> parts(1);
  bool quoted = false;
  for (const char letter : text) {
    if (letter == '"') quoted = !quoted;
    if (letter == mark && !quoted)
      parts.emplace_back();
    else if (letter != ' ' || !parts.back().empty())
      parts.back() += letter;
  }
  for (auto& part : parts) part.erase(part.find_last_not_of(' ') + 1);
  return parts;
}

// Every run of blanks and line ends is one blank: what is told is laid out for a page.
std::string in_one_line(const std::string& text) {
  std::string line;
  for (const char letter : text) {
    const bool blank = letter == ' ' || letter == '\n';
    if (!blank)
      line += letter;
    else if (!line.empty() && line.back() != ' ')
      line += ' ';
  }
  return line;
}

bool begins(const std::string& text, const std::string& start) { return text.rfind(start, 0) == 0; }

// One line of an outcome.
struct Told {
  std::string player;  // as a players file has it, with what is left with
  std::vector<std::pair<std::string, bool>> says;
};

Told told_by(const std::string& line) {
  const auto halves = parted(line, ':');
  Told told{"player somebody\n", {}};
  std::string readings;
  for (const auto& each : parted(halves.front(), ',')) {
    if (begins(each, "owns ") || begins(each, "can spend "))
      told.player += "  " + each + "\n";
    else if (each != "anybody")
      readings += (readings.empty() ? "  " : ", ") + each;
  }
  told.player += readings + "\n";
  const auto quoted = [](const std::string& claim) {
    const auto first = claim.find('"') + 1;
    return claim.substr(first, claim.rfind('"') - first);
  };
  for (const auto& claim : parted(halves.size() == 2 ? halves.back() : "", ';')) {
    if (begins(claim, "says \""))
      told.says.emplace_back(quoted(claim), true);
    else if (begins(claim, "does not say \""))
      told.says.emplace_back(quoted(claim), false);
    else if (begins(claim, "no "))
      told.player += "  leaves without " + claim.substr(3) + "\n";
    else if (!claim.empty())
      told.player += "  leaves with " + claim + "\n";
  }
  return told;
}

// The players of a saying before one policy: the saying's own, or that with a slip in it.
class Trial {
 public:
  Trial(const Saying& saying, std::shared_ptr<const compiler::Policy> policy)
      : saying_(saying), policy_(std::move(policy)), engine_(engine_of(policy_)) {
    if (saying_.stock.empty()) return;
    stock_ = stock_of(*policy_, {{"stock.csv", saying_.stock}});
    shelf_.emplace(runtime::Shelf{*stock_, today_});
    if (!stock_->problems.empty()) faults_.push_back(render(stock_->problems.sorted()));
  }

  std::vector<std::string> faults() {
    for (const auto& line : saying_.outcome) run(line);
    return std::move(faults_);
  }

 private:
  void run(const Saying::Line& line) {
    const auto fault = [&](const std::string& what) {
      faults_.push_back(fmt::format("line {}: {}", line.number, what));
    };
    const auto told = told_by(line.text);
    grammar::Diagnostics problems;
    const auto file = runtime::read_players(*policy_, "page.players", told.player, problems);
    if (file.players.empty() || !problems.empty()) return fault(render(problems.sorted()));
    const auto& sample = file.players.front();
    if (sample.wishes.empty() && told.says.empty()) return fault("nothing is said of this player");
    const auto result = runtime::rehearse(*engine_, sample, problems, shelf_ ? &*shelf_ : nullptr);
    if (!problems.empty()) return fault(render(problems.sorted()));
    for (const auto& wish : result.wishes) {
      if (!wish.looked_at) fault(wish.wanted + ": there is no stock to look at");
      if (!wish.holds) fault(fmt::format("{}: {}", wish.wanted, wish.came));
    }
    if (told.says.empty()) return;
    const auto words =
        in_one_line(stock_ ? text_of(runtime::quote(*engine_, sample.player, *stock_, today_, sample.can_spend))
                           : text_of(runtime::advise(*engine_, sample.player, today_)));
    for (const auto& [part, said] : told.says)
      if ((words.find(part) != std::string::npos) != said)
        fault(fmt::format("\"{}\" is {}: {}", part, said ? "not said" : "said", words));
  }

  const Saying& saying_;
  std::shared_ptr<const compiler::Policy> policy_;
  std::shared_ptr<const runtime::Engine> engine_;
  std::int64_t today_ = day_of(2026, 10, 1);
  std::optional<runtime::Stock> stock_;
  std::optional<runtime::Shelf> shelf_;
  std::vector<std::string> faults_;
};

}  // namespace

std::vector<Saying> sayings_of(const std::string& page) {
  std::vector<Saying> sayings;
  const auto blocks = blocks_of(page);
  const auto& first = blocks.at(0);
  auto next = blocks.begin() + 1;
  std::istringstream in(page);
  std::string line;
  for (int number = 1; std::getline(in, line); ++number) {
    if (begins(line, sentence_mark)) sayings.push_back({line.substr(sentence_mark.size()), {}, "", {}, {}});
    if (next == blocks.end() || next->line != number) continue;
    auto& saying = sayings.back();
    const auto& block = *next++;
    if (block.kind == "fitting") {
      const auto whole = begins(block.text, "policy");
      saying.files.insert(saying.files.begin(), {"page.fitting", whole ? block.text : first.text + block.text});
    } else if (begins(block.kind, "pack ") || begins(block.kind, "csv ")) {
      saying.files.push_back({block.kind.substr(block.kind.find(' ') + 1), block.text});
    } else if (block.kind == "stock") {
      saying.stock = block.text;
    } else if (block.kind == "outcome") {
      std::istringstream lines(block.text);
      for (int below = 1; std::getline(lines, line); ++below) saying.outcome.push_back({line, block.line + below});
    } else {
      saying.refused.push_back(block);
    }
  }
  return sayings;
}

std::vector<std::string> faults_of(const Saying& saying) {
  const auto compiled = compile_files(saying.files);
  if (const auto refusal = refusal_of(compiled); !refusal.codes.empty()) return {refusal.told};
  std::vector<std::string> faults = Trial(saying, compiled.policy).faults();
  for (const auto& block : saying.refused) {
    auto files = saying.files;
    files.front().text += block.text;
    const auto refusal = refusal_of(compile_files(files));
    if (refusal.codes.empty() || refusal.codes != refused_for(block))
      faults.push_back(fmt::format("line {}: refused for {}, not for {}", block.line,
                                   refusal.codes.empty() ? "nothing" : refusal.codes, refused_for(block)));
  }
  return faults;
}

std::vector<std::string> unnoticed_slips(const Saying& saying) {
  const auto policy = compile_files(saying.files).policy;
  const auto run = runtime::run_slips(*engine_of(policy), {}, [](std::size_t, std::size_t) {});
  std::vector<std::string> unnoticed;
  for (std::size_t i = 0; i < run.slips.size(); ++i) {
    if (run.results[i].fate != runtime::SlipResult::Fate::not_noticed) continue;
    if (Trial(saying, runtime::with_slip(*policy, run.slips[i]).policy).faults().empty())
      unnoticed.push_back(run.slips[i].says);
  }
  return unnoticed;
}

}  // namespace lacestay::tests
