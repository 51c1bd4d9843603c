#include "runtime/advice/html.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <vector>

#include "compiler/values/names.hpp"
#include "grammar/text/letters.hpp"
#include "runtime/advice/html_foot.hpp"
#include "runtime/advice/html_style.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/base/html_parts.hpp"

namespace lacestay::runtime {

using grammar::capital;
using Role = compiler::Role::Kind;

namespace {

// Names are written with low lines in a policy, and read with blanks at home.
std::string plain(std::string name) {
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

void add_once(std::vector<std::string>& list, const std::string& text) {
  if (std::find(list.begin(), list.end(), text) == list.end()) list.push_back(text);
}

std::string plain_list(std::vector<std::string> names) {
  for (auto& name : names) name = plain(std::move(name));
  return compiler::listed(names);
}

// Past so many open answers only their number is shown: a longer list does not fit on a line.
std::string choice(const compiler::Policy& policy, const Answer& answer) {
  constexpr std::size_t most_listed = 3;
  auto all = possible_in_words(policy, answer);
  if (all.size() > most_listed) return fmt::format("one of {}{}", answer.exact ? "" : "at most ", all.size());
  for (auto& one : all) one = plain(std::move(one));
  return joined_by_or(answer, all);
}

enum class Group { needed, suggested, open, yours, absent };

Group group_of(const PieceAdvice& piece) {
  if (!piece.may_be_in_kit) return Group::absent;
  if (piece.owned) return Group::yours;
  if (!piece.presence.certain || piece.presence.fault()) return Group::open;
  return piece.presence.standing == Standing::suggested ? Group::suggested : Group::needed;
}

class Page {
 public:
  explicit Page(const Advice& advice) : advice_(advice), usual_source_(most_named_source(advice)) {}

  std::string write() {
    const auto title =
        fmt::format("{}, edition {}: what to leave with, {}", advice_.policy, advice_.edition, advice_.day);
    // The kit comes first: it tells what is left to ask, which sources to name, and how much room there is.
    const auto table = kit();
    const auto asking = to_ask(), keeping = cautions();
    const auto body = heading() + player() + table + asking + keeping + last_lines();
    return html_page(title, page_style, body, lines_ <= roomy_lines ? " class=\"roomy\"" : "");
  }

 private:
  // How many lines of text still have room in the larger print, and how many characters fit on a line of it; found
  // by printing. The lines every page has are not counted.
  static constexpr std::size_t roomy_lines = 38;
  static constexpr std::size_t whole_width = 115, presence_width = 95, reason_width = 75;
  static constexpr std::size_t group_lines = 2;

  static std::size_t lines(std::string_view text, std::size_t width) { return text.size() / width + 1; }

  std::string heading() const {
    std::string out =
        "<header>\n<h1>" + escaped(advice_.policy) + "</h1>\n" +
        "<p class=\"names\">For <span></span> Fitter <span></span></p>\n<p class=\"edition\">" +
        escaped(fmt::format("Edition {}, in force {}. Given on {}.", advice_.edition, advice_.in_force, advice_.day)) +
        "</p>\n</header>\n";
    if (advice_.outside_edition)
      out += "<p class=\"notice\">This edition is not in force on that day: ask which edition is.</p>\n";
    if (advice_.faults > 0)
      out +=
          "<p class=\"notice\">The shop&#39;s policy has no single answer in places. There the fitter decides, "
          "before anything is bought.</p>\n";
    return out;
  }

  std::string player() const {
    std::string out = "<section>\n<h2>Who it is for</h2>\n<dl>\n";
    const auto add = [&](const std::string& name, const std::string& value) {
      out += "<div><dt>" + escaped(name) + "</dt><dd>" + escaped(value) + "</dd></div>\n";
    };
    for (std::size_t i = 0; i < advice_.details.size(); ++i)
      add(capital(plain(advice_.details[i].first)), plain(advice_.told[i]));
    if (!advice_.not_known.empty()) add("Not known", plain_list(advice_.not_known));
    return out + "</dl>\n</section>\n";
  }

  // ---- the kit

  std::string kit() {
    std::string out = "<section>\n<h2>What to leave with</h2>\n<table>\n<thead>\n<tr>";
    for (const auto* head : {"Piece", "What", "Choose", "Why"}) out += fmt::format("<th scope=\"col\">{}</th>", head);
    out += "</tr>\n</thead>\n";
    constexpr std::array<std::pair<Group, const char*>, 4> groups = {
        {{Group::needed, "Needed"},
         {Group::suggested, "Suggested"},
         {Group::open, "Not settled yet"},
         {Group::yours, "Already yours: see that it still matches"}}};
    for (const auto& [group, name] : groups) {
      std::string rows;
      for (const auto& piece : advice_.pieces)
        if (group_of(piece) == group) rows += piece_rows(piece, group);
      reason_above_.clear();
      if (rows.empty()) continue;
      lines_ += group_lines;
      out += fmt::format("<tbody>\n<tr class=\"group\"><th scope=\"rowgroup\" colspan=\"4\">{}</th></tr>\n{}</tbody>\n",
                         name, rows);
    }
    return out + "</table>\n" + absent() + "</section>\n";
  }

  static std::string open_words(const Answer& presence) {
    const auto open = needed_or_not(presence);
    return open.empty() ? "" : "<strong>" + escaped(capital(open_until(open))) + ".</strong> ";
  }

  std::string piece_rows(const PieceAdvice& piece, Group group) {
    std::vector<std::string> rows;
    auto presence_why = why(piece.presence, true);
    // Pieces that one rule brings in share its reason, which is read once.
    const bool shared = piece.presence.certain && !presence_why.empty() && presence_why == reason_above_;
    if (shared)
      presence_why = "As above.";
    else
      reason_above_ = presence_why;
    // The group's heading has said it already, unless it is open.
    if (group == Group::open || !piece.presence.certain || (presence_why.empty() && piece.properties.empty()))
      presence_why = "<strong>" + escaped(capital(choice(*advice_.given_by, piece.presence))) + ".</strong> " +
                     open_words(piece.presence) + presence_why;
    if (!presence_why.empty()) {
      lines_ += lines(presence_why, presence_width);
      rows.push_back("<td colspan=\"3\">" + presence_why + "</td>");
    }
    if (piece.presence.fault()) faults_.push_back(piece.label);
    for (const auto& property : piece.properties) {
      const auto property_why = why(property.answer, false);
      lines_ += lines(property_why, reason_width);
      rows.push_back(narrow_cell(property.label) + narrow_cell(choice(*advice_.given_by, property.answer)) + "<td>" +
                     property_why + "</td>");
      const auto name = fmt::format("{} ({})", piece.label, property.label);
      if (property.answer.fault())
        faults_.push_back(name);
      else if (property.answer.certain && property.answer.standing == Standing::referred)
        referred_.push_back(name);
    }
    const bool to_get = group == Group::needed || group == Group::suggested;
    std::string out;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const auto head =
          fmt::format("<th scope=\"row\" rowspan=\"{}\"{}{}</th>", rows.size(),
                      to_get ? "><span class=\"box\" aria-hidden=\"true\"></span>" : " class=\"boxless\">",
                      escaped(capital(piece.label)));
      out += (i == 0 ? "<tr class=\"first\">" + head : "<tr>") + rows[i] + "</tr>\n";
    }
    return out;
  }

  // A column as narrow as its texts, of which only long ones are broken.
  static std::string narrow_cell(const std::string& text) {
    constexpr std::size_t longest_whole = 18;
    const char* kind = text.size() <= longest_whole ? "narrow whole" : "narrow";
    return fmt::format("<td class=\"{}\">{}</td>", kind, escaped(text));
  }

  // Why, in a line: what moved the answer if anything did, else what gave it. Several rules may ask for one piece; one
  // reason is enough there, a safety one first.
  std::string why(const Answer& answer, bool one) {
    note_measures(answer);
    if (!answer.certain) return waits_for(answer);
    if (answer.standing == Standing::gap) return "The policy has no answer here: the fitter decides.";
    if (answer.standing == Standing::clash) return "Two rules ask for different things here: the fitter decides.";
    const auto with = [&](Role role) {
      std::vector<const Part*> parts;
      for (const auto& part : answer.parts)
        if (part.role == role && !part.because.empty()) parts.push_back(&part);
      return parts;
    };
    auto parts = with(Role::lifts);
    if (parts.empty()) parts = with(Role::decides);
    std::stable_partition(parts.begin(), parts.end(), [](const Part* part) { return part->safety; });
    if (one && parts.size() > 1) parts.erase(parts.begin() + 1, parts.end());
    std::string out;
    std::vector<std::string> said;
    for (const auto* part : parts) {
      if (std::find(said.begin(), said.end(), part->because) != said.end()) continue;
      said.push_back(part->because);
      out += (out.empty() ? "" : " ") + std::string(part->safety ? "<strong>Safety:</strong> " : "") +
             escaped(part->because) + mark(part->source);
      for (const auto& derived : part->derived) {
        if (derived.because.empty() || std::find(said.begin(), said.end(), derived.because) != said.end()) continue;
        said.push_back(derived.because);
        out += " " + escaped(derived.because) + mark(derived.source);
      }
    }
    return out;
  }

  // What to find out first: asked details if any, else what is worked out from them.
  std::string waits_for(const Answer& answer) const {
    std::vector<std::string> asked, worked_out;
    for (const auto& part : answer.parts)
      for (const auto& looked : part.looked_at) {
        if (looked.known) continue;
        const bool is_asked =
            std::find(advice_.not_known.begin(), advice_.not_known.end(), looked.detail) != advice_.not_known.end();
        add_once(is_asked ? asked : worked_out, looked.detail);
      }
    if (asked.empty() && worked_out.empty()) return "Waits for what is not known yet.";
    return escaped("Waits for " + plain_list(asked.empty() ? worked_out : asked) + ".");
  }

  std::string absent() {
    std::string left_out;
    std::vector<std::string> not_here;
    for (const auto& piece : advice_.pieces) {
      if (group_of(piece) != Group::absent) continue;
      const auto name = piece.label + (piece.owned ? " (yours)" : "");
      const bool omitted = piece.presence.certain && piece.presence.standing == Standing::left_out;
      if (omitted)
        left_out += " " + escaped(name) + ". " + why(piece.presence, true);
      else
        not_here.push_back(name);
    }
    std::string out;
    if (!left_out.empty()) out += "<p><strong>Left out:</strong>" + left_out + "</p>\n";
    if (!not_here.empty())
      out += "<p><strong>Not in this kit:</strong> " + escaped(compiler::listed(not_here)) + ".</p>\n";
    lines_ += lines(out, whole_width);
    return out;
  }

  // ---- what stays open, and what to remember

  std::string to_ask() {
    std::vector<std::string> items;
    if (!referred_.empty()) items.push_back("Ask about: " + compiler::listed(referred_) + ".");
    if (!faults_.empty())
      items.push_back("Ask first, as the policy has no single answer: " + compiler::listed(faults_) + ".");
    if (!measures_.empty())
      items.push_back("Measure again, as a little more or less may change an answer: " + compiler::listed(measures_) +
                      ".");
    if (!advice_.still_to_ask.empty()) items.push_back("Still to ask: " + plain_list(advice_.still_to_ask) + ".");
    if (advice_.take_next)
      items.push_back("Begin with " + plain(*advice_.take_next) + ": it settles most of what is open.");
    std::string out = "<section class=\"foot\">\n<h2>What to ask the fitter</h2>\n";
    if (items.empty()) return out + "<p>Nothing is left open.</p>\n</section>\n";
    out += "<ul>\n";
    for (const auto& item : items) {
      lines_ += lines(item, whole_width);
      out += "<li>" + escaped(item) + "</li>\n";
    }
    return out + "</ul>\n</section>\n";
  }

  std::string cautions() {
    if (advice_.cautions.empty()) return "";
    std::string out = "<section class=\"foot\">\n<h2>Keep in mind</h2>\n<ul>\n";
    for (const auto& [caution, certain] : advice_.cautions) {
      lines_ += lines(caution.says, whole_width);
      out += "<li>" + std::string(certain ? "" : "This may apply: ") + escaped(caution.says) + mark(caution.source) +
             "</li>\n";
    }
    return out + "</ul>\n</section>\n";
  }

  std::string last_lines() const {
    std::string out = "<p class=\"last\"><strong>" + escaped(standing_caution) + "</strong>";
    std::vector<std::string> all;
    if (!usual_source_.empty()) all.push_back(usual_source_ + (sources_.empty() ? "" : " where no mark stands"));
    for (std::size_t i = 0; i < sources_.size(); ++i) all.push_back(mark_sign(i) + "\u00A0" + sources_[i]);
    if (!all.empty()) out += " Where the reasons come from: " + escaped(fmt::format("{}", fmt::join(all, ". "))) + ".";
    out += "</p>\n";
    return out + beside(advice_.handed_over, advice_.entry);
  }

  // The source most reasons share goes without a mark, so that the few others are seen. Where a reason names no
  // source at all, a missing mark would lie, so then there is no such source.
  static std::string most_named_source(const Advice& advice) {
    std::map<std::string, std::size_t> named;
    const auto count = [&](const Part& part) {
      if (!part.because.empty()) ++named[part.source];
    };
    for (const auto& piece : advice.pieces) {
      for (const auto& part : piece.presence.parts) count(part);
      for (const auto& property : piece.properties)
        for (const auto& part : property.answer.parts) count(part);
    }
    for (const auto& caution : advice.cautions) count(caution.part);
    const auto most =
        std::max_element(named.begin(), named.end(), [](const auto& a, const auto& b) { return a.second < b.second; });
    return most == named.end() || named.count("") != 0 ? "" : most->first;
  }

  // Printers' marks in their old order, doubled where they run out.
  static std::string mark_sign(std::size_t place) {
    constexpr std::array signs = {"*", "†", "‡", "§", "‖", "¶"};
    std::string sign;
    for (std::size_t i = 0; i <= place / signs.size(); ++i) sign += signs[place % signs.size()];
    return sign;
  }

  std::string mark(const std::string& source) {
    if (source.empty() || source == usual_source_) return "";
    add_once(sources_, source);
    return "\u00A0" +
           mark_sign(static_cast<std::size_t>(std::find(sources_.begin(), sources_.end(), source) - sources_.begin()));
  }

  void note_measures(const Answer& answer) {
    for (const auto& slip : answer.measure_again) add_once(measures_, plain(slip.detail));
  }

  const Advice& advice_;
  std::string usual_source_;
  std::size_t lines_ = 0;
  std::string reason_above_;
  std::vector<std::string> sources_, referred_, faults_, measures_;
};

}  // namespace

std::string page_of(const Advice& advice) { return Page(advice).write(); }

}  // namespace lacestay::runtime
