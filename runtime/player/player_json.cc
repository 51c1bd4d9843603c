// A player's details from JSON. Read event by event, so that numbers are seen as their digits and a key that
// stands twice is seen at all.
#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

#include "runtime/player/player.hpp"

namespace lacestay::runtime {
namespace {

using Json = nlohmann::json;

class Events : public nlohmann::json_sax<Json> {
 public:
  Events(std::string_view json, PlayerReader& reader, grammar::Diagnostics& problems)
      : json_(json), reader_(reader), problems_(problems) {}

  bool null() override {
    return value([&](const std::string& name) { reader_.set(name, ""); }, "nothing");
  }
  bool boolean(bool held) override {
    return value([&](const std::string& name) { reader_.refuse_truth(name, held); }, "true or false");
  }
  bool number_integer(number_integer_t held) override { return number(fmt::format("{}", held)); }
  bool number_unsigned(number_unsigned_t held) override { return number(fmt::format("{}", held)); }
  bool number_float(number_float_t, const string_t& digits) override { return number(digits); }
  bool string(string_t& text) override {
    if (in_owns_) return reader_.set_owned(text), true;
    return value([&](const std::string& name) { reader_.set(name, text); }, "a text");
  }
  bool binary(binary_t&) override { return stop("Bytes can't stand here."); }

  bool start_object(std::size_t) override {
    if (depth_++ == 0) return true;
    return stop("A player is one object, with details by name; no object stands inside it.");
  }
  bool key(string_t& name) override {
    if (!seen_.insert(name).second) return stop(fmt::format("The key \"{}\" stands twice.", name));
    key_ = name;
    return true;
  }
  bool end_object() override { return true; }
  bool start_array(std::size_t) override {
    if (depth_ == 0) return stop("A player is an object, with details by name.");
    if (key_ != "owns" || in_owns_) return stop(fmt::format("\"{}\" can't be a list.", key_));
    return in_owns_ = true;
  }
  bool end_array() override {
    in_owns_ = false;
    return true;
  }
  bool parse_error(std::size_t position, const std::string& token, const nlohmann::detail::exception& error) override {
    constexpr int number_too_large = 406;  // for the library's floating point, not in JSON
    if (error.id == number_too_large) return number(token), false;
    const auto before = position == 0 ? 0 : std::min(position - 1, json_.size());
    return stop(
        fmt::format("This is not JSON from character {} on.", grammar::characters(json_.substr(0, before)) + 1));
  }

 private:
  template <typename Use>
  bool value(Use use, const char* what) {
    if (depth_ == 0) return stop("A player is an object, with details by name.");
    if (in_owns_ || key_ == "owns") return stop(fmt::format("\"owns\" is a list of pieces, not {}.", what));
    use(key_);
    return true;
  }
  bool number(const std::string& digits) {
    return value([&](const std::string& name) { reader_.set_number(name, digits); }, "a number");
  }
  bool stop(std::string message) {
    problems_.add("player-8", {}, std::move(message),
                  "write one object, as in: {\"age\": 9, \"weight\": \"30 kg\", \"skill\": \"new\"}");
    return false;
  }

  std::string_view json_;
  PlayerReader& reader_;
  grammar::Diagnostics& problems_;
  std::string key_;
  std::set<std::string> seen_;
  std::size_t depth_ = 0;
  bool in_owns_ = false;
};

}  // namespace

std::optional<Player> player_from_json(const compiler::Policy& policy, std::string_view json,
                                       grammar::Diagnostics& problems, std::vector<std::string> passed_over) {
  const auto before = problems.size();
  PlayerReader reader(policy, problems);
  reader.pass_over(std::move(passed_over));
  Events events(json, reader, problems);
  Json::sax_parse(json.begin(), json.end(), &events);
  return problems.size() == before ? reader.take() : std::nullopt;
}

}  // namespace lacestay::runtime
