// Lacestay for programs: read a shop's fitting policy, advise players, quote kits from stock, compare two editions.
//
//   const auto policy = lacestay::read_policy("shop.fitting");
//   if (!policy) return complain(policy.told());
//   const auto player = policy->player({{"age", "9 years"}, {"weight", "66 lb"}});
//   const auto advice = policy->advise(*player, lacestay::Day{2026y / November / 29});
//   if (advice.certain) std::cout << advice.text();
//
// This header stands alone: the standard library is all it includes, and a program links lacestay::lacestay.
//
// Units. What is measured goes in as text with its unit ("30 kg", "4 st 10 lb", "5 ft 9 in", "205 mm"), and comes out
// as the policy writes it; counts and whole years are bare numbers ("9"). All of it is read as decimals and kept
// exactly: no number passes through floating point. Money is in whole minor units (pence, cents) of the policy's
// currency. Days are std::chrono::sys_days, of the Gregorian calendar. All text is UTF-8.
//
// Ownership. Everything is a value. A Policy, a Stock and a Player are handles on data that never changes: copies are
// cheap, share it, and keep it alive; a Player and a Stock keep alive the Policy they were made for. What is answered
// outlives them all.
//
// Faces. An Advice, a Quote and a Comparison are data, and their faces (JSON, text, a page) are functions: one is made
// where it is asked for, anew each time, and nobody pays for the others. A face tells what was answered, whatever a
// caller does to the data.
//
// Errors. Bad input never throws: what may fail returns a Read<T>, which holds the value or what is wrong with the
// input, each thing with its place and what to try. To take the value where there is none throws std::logic_error, as
// does mixing handles of different policies. Beyond that only std::bad_alloc, and Fault where the program finds itself
// at odds with itself, after which nothing it said of that policy is to be used.
//
// Threads. Any number of threads may use the same objects at once; no call changes an object or anything shared. On
// the disk, Policy::stock alone may change something, under a lock that every till takes.
//
// Costs are those of a policy of the shipped one's size (94 properties of 27 pieces) on one core of 2020's.
#pragma once

#include <chrono>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace lacestay {

using Day = std::chrono::sys_days;

// Something wrong with an input, for a person.
struct Trouble {
  std::string code;                       // a word and a number, such as "charts-3"; listed in grammar/read/messages.md
  std::string message;                    // a sentence
  std::string file;                       // empty where it is about no file
  std::uint32_t line = 0, character = 0;  // from 1; 0 where it is about no place
  std::string to_try;                     // what to try; may be empty
  std::string text;  // all of it, with the line of the file and the place marked; ends with a line end
};

// A fault of this program, never of its input.
struct Fault : std::runtime_error {
  using std::runtime_error::runtime_error;
};

// A value that was read, or what kept it from being read.
template <typename T>
class [[nodiscard]] Read {
 public:
  Read(T value) : value_(std::move(value)) {}
  Read(std::vector<Trouble> troubles) : troubles_(std::move(troubles)) {}

  explicit operator bool() const { return value_.has_value(); }
  const T& operator*() const { return value(); }
  const T* operator->() const { return &value(); }
  const T& value() const {
    if (!value_) throw std::logic_error("lacestay: there is no value: " + told());
    return *value_;
  }
  // Not empty just where there is no value.
  const std::vector<Trouble>& troubles() const { return troubles_; }
  // Their texts, one after the other; empty where there is a value.
  std::string told() const {
    std::string all;
    for (const auto& each : troubles_) all += (all.empty() ? "" : "\n") + each.text;
    return all;
  }

 private:
  std::optional<T> value_;
  std::vector<Trouble> troubles_;
};

// Why an answer is what it is: one rule's part in it.
struct Reason {
  std::string rule;             // its name
  std::string says;             // "at least performance"
  std::string because, source;  // in the owner's words; may be empty
  std::string file;             // where it stands
  std::uint32_t line = 0;
  bool decides = false;  // else it was outranked, overruled, or changed nothing
  bool safety = false;
};

// The answer to one question of the kit: whether a piece is in it (`property` empty), or one property of a piece.
struct Line {
  enum class Kind : std::uint8_t {
    answer,  // of a property: the one in `possible`
    fitter,  // of a property: a trained fitter decides
    needed,  // of a piece
    suggested,
    left_out,
    not_in_kit,
    open,  // details that are not known leave more than one answer possible
  };
  std::string piece, property;  // by their names in the policy
  Kind kind = Kind::open;
  std::vector<std::string> possible;  // the answers as text, as the policy writes them: one unless open
  std::vector<Reason> reasons;        // those that decide first
};

// What a player should leave with.
class Advice {
 public:
  std::vector<Line> lines;  // in the policy's order: each piece, then its properties where it may be in the kit
  std::vector<std::string> cautions;   // all that speak to this player, or may ("This may apply: ..."); to be shown
                                       // with any of it
  std::vector<std::string> not_known;  // details without a value
  std::string take_next;               // the detail that settles most; empty where all is certain
  bool certain = true;                 // no line is open, and each caution surely speaks

  std::string json() const;  // as `lacestay advise --json` prints it: runtime/advice/advice.schema.json; 1 to 3 ms
  std::string text() const;  // for a terminal; some 0.3 ms
  std::string page() const;  // HTML, to print; some 0.2 ms

  struct Inside;
  explicit Advice(std::shared_ptr<const Inside> inside) : inside_(std::move(inside)) {}

 private:
  std::shared_ptr<const Inside> inside_;
};

struct QuotedLine {
  std::string piece, item, make, model;  // `item` is the shop's number for it
  std::int64_t price = 0;                // before deals
};

// The best kit that can be handed over today.
class Quote {
 public:
  std::vector<QuotedLine> lines;
  std::vector<std::pair<std::string, std::string>> not_quoted;  // needed pieces the stock can't give, and why
  std::int64_t total = 0;                                       // what the customer pays, deals and all
  bool within_limit = true;
  // No other kit from this stock is better. False where the search ended by its budget of work: then this kit is one
  // that fits, and json() tells how much better one may be.
  bool proved_best = true;

  std::string json() const;  // as `lacestay quote --json` prints it: runtime/quote/quote.schema.json; under 1 ms
  std::string text() const;  // for a terminal; some 0.1 ms
  std::string page() const;  // HTML, for the customer; some 0.1 ms

  struct Inside;
  explicit Quote(std::shared_ptr<const Inside> inside) : inside_(std::move(inside)) {}

 private:
  std::shared_ptr<const Inside> inside_;
};

class Comparison {
 public:
  bool same = true;  // no player gets another answer, and nothing beside the answers is different

  std::string json() const;  // as `lacestay compare --json` prints it; some 1 ms
  std::string text() const;  // for a terminal; some 0.1 ms

  struct Inside;
  explicit Comparison(std::shared_ptr<const Inside> inside) : inside_(std::move(inside)) {}

 private:
  std::shared_ptr<const Inside> inside_;
};

class Policy;

// A player's details, against one policy.
class Player {
 public:
  struct Inside;
  explicit Player(std::shared_ptr<const Inside> inside) : inside_(std::move(inside)) {}
  const Inside& inside() const { return *inside_; }

 private:
  std::shared_ptr<const Inside> inside_;
};

// A shop's stock, read once. What was sold since is not known to it.
class Stock {
 public:
  struct Inside;
  explicit Stock(std::shared_ptr<const Inside> inside) : inside_(std::move(inside)) {}
  const Inside& inside() const { return *inside_; }
  // Rows and files that were set aside, each with its reason; what could be read is used.
  const std::vector<Trouble>& set_aside() const;
  // What became of a sale that a crash had cut short, in a sentence for a person; empty where there was none.
  const std::string& settled() const;

 private:
  std::shared_ptr<const Inside> inside_;
};

// A policy that is proved: every player gets an answer, and never two.
class Policy {
 public:
  struct Inside;
  explicit Policy(std::shared_ptr<const Inside> inside) : inside_(std::move(inside)) {}
  const Inside& inside() const { return *inside_; }

  const std::string& title() const;
  std::int64_t edition() const;
  const std::string& currency() const;  // ISO 4217
  // The compiled policy as one document (runtime/seal/sealed.schema.json), which read_policy reads. Some 12 ms.
  std::string sealed() const;

  // Details by name, each as a person writes it; what is left out, or empty, is not known. `owns`: pieces by name.
  // Whom the policy shuts out (`nobody has …`) is refused in its own sentence, also where blanks leave nobody else.
  Read<Player> player(const std::map<std::string, std::string>& details,
                      const std::vector<std::string>& owns = {}) const;
  // The same from one JSON object: {"age": 9, "weight": "30 kg", "owns": ["helmet"]}.
  Read<Player> player_from_json(std::string_view json) const;
  // A folder of CSV files. Where it can't be read to its end, or nothing in it can be, why; files and rows that can't
  // be are set aside. First finishes, undoes or discards a sale that a crash cut short in this folder, as `lacestay
  // quote` does: that writes in it, and may wait five seconds for another till; where it can't be done, why. Where
  // there is no such sale the folder may be read-only. Linear in the files.
  Read<Stock> stock(const std::string& folder) const;

  // Some 1 ms with all details known, 8 to 20 ms with some of them blank; the faces come on top.
  Advice advise(const Player& player, Day today) const;
  // `limit`: what the customer can spend, in minor units. Some 3 ms with all details known, 8 to 20 ms with some of
  // them blank; more from a larger stock, as each line's runner-up is a kit of its own. The faces come on top.
  Quote quote(const Player& player, const Stock& stock, Day today,
              std::optional<std::int64_t> limit = std::nullopt) const;

 private:
  std::shared_ptr<const Inside> inside_;
};

// A policy's own file (with the files it brings in, which must lie in its folder) or a sealed one. It is proved,
// whichever it is; one that is refused is told with the players it fails for. Some 70 ms.
Read<Policy> read_policy(const std::string& path);
// The same of a text that is in memory: a policy in one file, or a sealed document. `name` is what troubles call it.
Read<Policy> read_policy_text(const std::string& name, std::string text);

// For whom two editions answer otherwise, exactly. Some 6 ms; the faces come on top.
Comparison compare(const Policy& earlier, const Policy& later);

// "0.1.0".
const char* version();

}  // namespace lacestay
