// One edit of a policy's text, as an owner might make it: an edge moved, a rule dropped, a member added. What stands
// where is read off the trees. An edit may well leave a policy that does not compile: who asks for one sees to that.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "tests/reference/draw.hpp"
#include "tests/reference/prepared.hpp"

namespace lacestay::judges {

class Edits {
 public:
  // Keeps a reference to `draw`. The files must be ones that prepare() takes.
  Edits(std::vector<naive::TextFile> files, naive::Draw& draw);

  struct Kind {
    const char* name;
    bool (Edits::*make)();
    bool same_answers, same_words;  // what it can't change
  };
  [[nodiscard]] static const std::vector<Kind>& kinds();

  // The files after one edit of this kind; nothing where it finds nothing to edit.
  [[nodiscard]] std::optional<std::vector<naive::TextFile>> after(const Kind& kind);

 private:
  // ---- text (edits.cc)
  std::string& text(const grammar::Span& span);
  using Replacements = std::vector<std::pair<grammar::Span, std::string>>;
  void replace(const grammar::Span& span, const std::string& with);
  void replace(Replacements all);
  // What stands from one place to another of one file.
  [[nodiscard]] static grammar::Span between(const grammar::Source* source, std::uint32_t begin, std::uint32_t end);
  // The whole line a place stands in, its end too.
  [[nodiscard]] grammar::Span line_of(const grammar::Span& span) const;
  void append(const grammar::Item& item, const std::string& line);  // indented, under the item
  bool replace_word(const std::string& word, const std::string& with);
  bool replace_one_of(const grammar::Span& in, const std::vector<std::pair<std::string, std::string>>& words);
  [[nodiscard]] std::string fresh(const std::string& stem);

  template <typename Form>
  [[nodiscard]] std::vector<std::pair<const grammar::Item*, const Form*>> all() const {
    std::vector<std::pair<const grammar::Item*, const Form*>> found;
    for (const auto& file : policy_.files)
      for (const auto& item : file.items)
        if (const auto* form = std::get_if<Form>(&item.form)) found.emplace_back(&item, form);
    return found;
  }
  // Rules, and charts that give a property, with where they stand.
  struct Spoken {
    const grammar::Item* item;
    const naive::Voice* voice;
  };
  [[nodiscard]] std::vector<Spoken> spoken() const;
  [[nodiscard]] std::vector<const std::vector<grammar::Condition>*> guards() const;

  // ---- what is edited
  struct Edge {
    const grammar::Value* value;
    std::size_t detail;
  };
  [[nodiscard]] std::vector<Edge> edges() const;
  [[nodiscard]] std::optional<std::string> near(const grammar::Value& value, std::size_t detail, int directions);
  bool move_edge();
  bool change_answer();
  bool drop_row();
  bool add_row();
  bool drop_condition();
  bool add_condition();
  bool drop_rule();
  bool copy_rule();
  bool drop_piece();
  bool change_action();
  bool rename_rule();
  bool rename_detail();
  bool rename_piece();
  bool turn_safety();
  bool drop_outranks();
  bool add_outranks();
  bool move_domain();
  bool change_unit();
  bool drop_whole();
  bool add_member();
  bool drop_member();
  bool swap_members();
  bool exchange_members();
  bool exchange_grades();
  bool add_grade();
  bool drop_grade();
  bool swap_grades();
  bool move_range();
  bool change_presence();
  bool change_formula();
  bool reorder_items();
  bool change_layout();
  bool change_reason();

  struct Listed {
    const grammar::Ask* ask;
    const grammar::Domain* domain;
  };
  // Details, or properties, with at least so many members.
  [[nodiscard]] std::vector<Listed> listed(bool of_details, std::size_t least) const;
  [[nodiscard]] std::pair<grammar::Span, std::string> added_to(const grammar::Domain& domain, const std::string& name);
  bool swap_two_of(const grammar::Domain& domain);
  bool exchange_two_of(const grammar::Domain& domain);
  // Heads of charts along a detail with members.
  [[nodiscard]] std::vector<std::vector<const grammar::Head*>> axes(const std::string& detail) const;

  std::vector<naive::TextFile> files_;
  naive::Policy policy_;
  naive::Draw& draw_;
};

}  // namespace lacestay::judges
