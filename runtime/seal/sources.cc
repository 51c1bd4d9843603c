#include "runtime/seal/sources.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "grammar/text/plain_text.hpp"
#include "runtime/base/sha256.hpp"
#include "runtime/seal/faults.hpp"

namespace lacestay::runtime {

using grammar::Source;
using grammar::Span;

namespace {

// The compiler takes this many files, and a policy's text is far below the rest: both bound what a document that
// somebody made up can have the tool lay out.
constexpr std::size_t most_sources = 200;
constexpr std::size_t most_bytes = 64u << 20;

// The line that begins at `start`, with its line end.
std::string_view line_with_end(std::string_view text, std::size_t start) {
  auto end = text.find_first_of("\r\n", start);
  if (end == std::string_view::npos) return text.substr(start);
  if (text[end] == '\r' && end + 1 < text.size() && text[end + 1] == '\n') ++end;
  return text.substr(start, end + 1 - start);
}

bool parts_a_character(std::string_view text, std::size_t at) {
  return at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0) == 0x80;
}

bool is_sha256(const SealedJson& json) {
  if (!json.is_string()) return false;
  const auto& text = json.get_ref<const std::string&>();
  return text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

}  // namespace

SourceKeeper::SourceKeeper(const compiler::Policy& policy) : policy_(policy), lines_(policy.sources.size()) {
  for (std::size_t i = 0; i < policy.sources.size(); ++i) {
    index_.emplace(policy.sources[i].get(), i);
    if (policy.sources[i]->is_sheet()) keep(i, 0);  // shows what parts the cells
  }
}

SourceKeeper::Where SourceKeeper::keep(std::size_t source, std::uint32_t at) {
  const auto& held = *policy_.sources[source];
  const auto line = held.place(at).line;
  const auto start = held.line_start(line);
  lines_[source].emplace(line, line_with_end(held.text(), start));
  return {line, at - start};
}

SealedJson SourceKeeper::span(const Span& span) {
  const auto found = index_.find(span.source);
  if (found == index_.end()) throw std::logic_error("a span of the policy points into none of its files");
  const auto source = found->second;
  const auto begin = keep(source, span.begin);
  auto end = begin;
  if (span.end > span.begin) {
    end = keep(source, span.end - 1);
    ++end.byte;
    for (auto line = begin.line + 1; line < end.line; ++line) keep(source, span.source->line_start(line));
  }
  return {source, begin.line, begin.byte, end.line, end.byte};
}

SealedJson SourceKeeper::sources() const {
  auto all = SealedJson::array();
  for (std::size_t i = 0; i < lines_.size(); ++i) {
    const auto& source = *policy_.sources[i];
    auto lines = SealedJson::array();
    for (const auto& [number, text] : lines_[i]) lines.push_back({{"line", number}, {"text", text}});
    all.push_back({{"lines", std::move(lines)},
                   {"name", source.name()},
                   {"sha256", policy_.origin ? policy_.origin->texts_sha256[i] : sha256(source.text())}});
    if (source.is_sheet()) all.back()["sheet"] = true;
  }
  return all;
}

SourceRebuilder::SourceRebuilder(const SealedJson& all, int form) : form_(form) {
  if (!all.is_array() || all.empty() || all.size() > most_sources)
    throw SealedFault(fmt::format("sources is no list of 1 to {} sources", most_sources));
  for (std::size_t i = 0; i < all.size(); ++i)
    if (!rebuild(all[i])) throw SealedFault(fmt::format("sources/{} is no source with its lines", i));
}

bool SourceRebuilder::rebuild(const SealedJson& source) {
  const bool sheet = form_ >= 3 && source.is_object() && source.contains("sheet");
  if (sheet && source["sheet"] != true) return false;
  if (!source.is_object() || source.size() != (sheet ? 4 : 3) || !source.contains("lines") ||
      !source.contains("name") || !source.contains("sha256") || !source["lines"].is_array() ||
      !source["name"].is_string() || !is_sha256(source["sha256"]))
    return false;
  std::string text;
  std::uint32_t next = 1;  // the line that begins where the text ends
  bool ended = true;       // only a text's last line has no end of its own
  auto& lengths = lengths_.emplace_back();
  for (const auto& line : source["lines"]) {
    if (!line.is_object() || line.size() != 2 || !line.contains("line") || !line.contains("text") ||
        !line["text"].is_string())
      return false;
    const auto number = number_of(line["line"]);
    const auto& own = line["text"].get_ref<const std::string&>();
    if (!ended || !number || *number < next || *number > static_cast<compiler::Int128>(grammar::largest_file) ||
        line_with_end(own, 0) != own)
      return false;
    // A blank keeps a lone return from becoming one line end with what follows it.
    for (; next < *number; ++next) text += !text.empty() && text.back() == '\r' ? " \n" : "\n";
    if (!text.empty() && text.back() == '\r' && !own.empty() && own.front() == '\n') return false;
    lengths.emplace(next, static_cast<std::uint32_t>(own.size()));
    text += own;
    ended = !own.empty() && (own.back() == '\n' || own.back() == '\r');
    ++next;
  }
  bytes_ += text.size();
  if (grammar::refuse_text(text))
    throw SealedFault(
        fmt::format("a line of '{}' can't stand in a policy", source["name"].get_ref<const std::string&>()));
  if (bytes_ > most_bytes) throw SealedFault("the policy's files are larger than the tool reads");
  sources.push_back(std::make_shared<Source>(source["name"].get<std::string>(), std::move(text),
                                             sheet ? Source::Shape::sheet : Source::Shape::lines));
  texts_sha256.push_back(source["sha256"].get<std::string>());
  return true;
}

std::optional<std::uint32_t> SourceRebuilder::byte_at(std::size_t source, const SealedJson& line,
                                                      const SealedJson& byte) const {
  const auto number = number_of(line), offset = number_of(byte);
  if (!number || !offset || *number < 1 || *number > static_cast<compiler::Int128>(grammar::largest_file))
    return std::nullopt;
  const auto length = lengths_[source].find(static_cast<std::uint32_t>(*number));
  if (length == lengths_[source].end() || *offset < 0 || *offset > length->second) return std::nullopt;
  const auto at = sources[source]->line_start(length->first) + static_cast<std::uint32_t>(*offset);
  return parts_a_character(sources[source]->text(), at) ? std::nullopt : std::optional(at);
}

std::optional<Span> SourceRebuilder::span(const SealedJson& json) const {
  if (!json.is_array() || json.size() != 5) return std::nullopt;
  const auto source = number_of(json[0]);
  if (!source || *source < 0 || *source >= static_cast<compiler::Int128>(sources.size())) return std::nullopt;
  const auto index = static_cast<std::size_t>(*source);
  const auto begin = byte_at(index, json[1], json[2]), end = byte_at(index, json[3], json[4]);
  if (!begin || !end || *begin > *end) return std::nullopt;
  return Span{sources[index].get(), *begin, *end};
}

}  // namespace lacestay::runtime
