#include "runtime/command/asked_players.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grammar/text/plain_text.hpp"
#include "runtime/command/command_line.hpp"
#include "runtime/command/commands.hpp"
#include "runtime/rehearse/rehearsal.hpp"

namespace lacestay::runtime {
namespace {

[[noreturn]] void refuse_player(const grammar::Diagnostics& problems) {
  throw Stop{not_understood, render(problems.sorted())};
}

void set_owned(const Words& words, PlayerReader& reader) {
  const auto list = words.value("--owns").value_or("");
  for (std::size_t at = 0; at < list.size();) {
    const auto comma = std::min(list.find(',', at), list.size());
    if (comma > at) reader.set_owned(list.substr(at, comma - at));
    at = comma + 1;
  }
}

// What --owns names, beside what the player owns already.
void own_pieces(const compiler::Policy& policy, const Words& words, Player& player) {
  grammar::Diagnostics problems;
  PlayerReader reader(policy, problems);
  set_owned(words, reader);
  if (!problems.empty()) refuse_player(problems);
  const auto more = reader.take().value().owns;  // all else is blank, and not everybody is shut out
  std::vector<std::uint32_t> both;
  std::set_union(player.owns.begin(), player.owns.end(), more.begin(), more.end(), std::back_inserter(both));
  player.owns = std::move(both);
}

void set_details(const Words& words, PlayerReader& reader) {
  for (std::size_t i = 1; i < words.plain.size(); ++i) {
    const auto equals = words.plain[i].find('=');
    if (equals == std::string::npos)
      throw Stop{not_understood, fmt::format("'{}' is no detail; write it as in: weight=\"30 kg\"\n", words.plain[i])};
    reader.set(words.plain[i].substr(0, equals), words.plain[i].substr(equals + 1));
  }
}

Player from_details(const compiler::Policy& policy, const Words& words) {
  grammar::Diagnostics problems;
  PlayerReader reader(policy, problems);
  set_details(words, reader);
  auto player = problems.empty() ? reader.take() : std::nullopt;
  if (!player) refuse_player(problems);
  own_pieces(policy, words, *player);
  return std::move(*player);
}

}  // namespace

std::vector<Word> player_words() {
  return {policy_word(),
          {"DETAIL=VALUE", Takes::player_name,
           "what is known of the player, such as: age=9 weight=\"4 st 10 lb\"; with --from, the names of players"}};
}

std::vector<Option> player_options() {
  return {{"--from", Takes::file, "FILE.players", "take sample players from this file, by name"},
          {"--player", Takes::file, "FILE.json", "the player's details, from a file"},
          {"--owns", Takes::text, "PIECE,PIECE", "what the player has already"}};
}

NobodyLike nobody_like(const compiler::Policy& policy, const Words& words) {
  grammar::Diagnostics problems, refusals;
  PlayerReader reader(policy, problems);
  set_details(words, reader);
  set_owned(words, reader);
  if (!problems.empty()) refuse_player(problems);
  NobodyLike made{reader.told(), {}};
  if (reader.take(refusals))
    throw Stop{not_understood,
               {"", "The policy advises players like that, so nothing is recorded.",
                "record the advice with --daybook, and beside it what was given instead: lacestay reopen DAYBOOK ENTRY "
                "--handed-over WHAT --by NAME --why TEXT"}};
  for (const auto& refusal : refusals.sorted()) made.sentences.push_back(refusal.message);
  return made;
}

std::vector<Asked> asked_players(const compiler::Policy& policy, const Words& words) {
  grammar::Diagnostics problems;
  if (const auto path = words.value("--player")) {
    if (words.plain.size() > 1)
      throw Stop{not_understood, "Details come either from --player or from the command line, not from both.\n"};
    const auto text = text_from(*path);
    if (const auto refused = grammar::refuse_text(text))
      problems.add(refused->code, {}, *path + ": " + refused->message);
    auto player = problems.empty() ? player_from_json(policy, text, problems) : std::nullopt;
    if (!player) refuse_player(problems);
    own_pieces(policy, words, *player);
    return {{"", std::move(*player), std::nullopt}};
  }
  if (const auto path = words.value("--from")) {
    const auto file = read_players(policy, *path, text_from(*path), problems);
    if (!problems.empty()) refuse_player(problems);
    std::vector<Asked> asked;
    std::vector<std::string> known;
    for (const auto& player : file.players) known.push_back(player.name);
    if (words.plain.size() == 1)
      throw Stop{not_understood, fmt::format("Which player of {}? There are {}.\n", *path, fmt::join(known, ", "))};
    for (std::size_t i = 1; i < words.plain.size(); ++i) {
      const auto found = std::find(known.begin(), known.end(), words.plain[i]);
      if (found == known.end())
        throw Stop{not_understood, fmt::format("{} has no player called '{}'; there are {}.\n", *path, words.plain[i],
                                               fmt::join(known, ", "))};
      const auto& player = file.players[static_cast<std::size_t>(found - known.begin())];
      asked.push_back({player.text.empty() ? player.name : fmt::format("{} ({})", player.text, player.name),
                       player.player, player.can_spend});
      own_pieces(policy, words, asked.back().player);
    }
    return asked;
  }
  return {{"", from_details(policy, words), std::nullopt}};
}

}  // namespace lacestay::runtime
