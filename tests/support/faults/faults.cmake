# Faults planted in the program, one program each, and each must be noticed. A fault is a source file with one text in it
# changed; where the text is no longer there, configuring fails, so that a fault can't quietly become none.
#
# lacestay_plant(NAME FILE TEXT CHANGED RESULT): the faulty source, whose path goes to RESULT.
function(lacestay_plant name file text changed result)
  set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/${file})
  file(READ ${CMAKE_SOURCE_DIR}/${file} source)
  string(FIND "${source}" "${text}" at)
  if(at EQUAL -1)
    message(FATAL_ERROR "${file} does not hold the text the fault ${name} changes: ${text}")
  endif()
  string(REPLACE "${text}" "${changed}" faulty "${source}")
  get_filename_component(base ${file} NAME)
  set(copy ${CMAKE_CURRENT_BINARY_DIR}/faults/${name}_${base})
  file(GENERATE OUTPUT ${copy} CONTENT "${faulty}")
  set(${result} ${copy} PARENT_SCOPE)
endfunction()

# lacestay_fault(NAME FILE TEXT CHANGED [FINDER]): noticed by a program of its own, which compares two ways to the same
# answer until they differ; the agreement with the naive evaluator unless another is named.
function(lacestay_fault name file text changed)
  set(finder support/faults/find_fault.cc)
  if(ARGC GREATER 4)
    set(finder ${ARGV4})
  endif()
  lacestay_plant(${name} ${file} "${text}" "${changed}" copy)
  # The faulty source stands before the libraries, so theirs of the same name is never linked.
  add_executable(fault_${name} ${finder} ${copy})
  target_link_libraries(fault_${name} PRIVATE lacestay_test_parts)
  target_compile_options(fault_${name} PRIVATE -O1 -w)
  add_test(NAME fault_${name} COMMAND fault_${name})
endfunction()

# lacestay_fault_in(TEST NAME FILE TEXT CHANGED): noticed by a check of that test program, linked anew with the fault.
function(lacestay_fault_in test name file text changed)
  lacestay_plant(${name} ${file} "${text}" "${changed}" copy)
  add_executable(fault_${name} $<TARGET_OBJECTS:${test}> ${copy})
  target_link_libraries(fault_${name} PRIVATE lacestay_test_parts Catch2::Catch2WithMain)
  target_compile_options(fault_${name} PRIVATE -O1 -w)
  add_test(NAME fault_${name}
    COMMAND bash ${CMAKE_CURRENT_SOURCE_DIR}/support/faults/notices_fault.sh $<TARGET_FILE:fault_${name}>)
endfunction()

# lacestay_fault_before_z3(NAME FILE TEXT CHANGED): noticed by what z3 says of items handed over.
function(lacestay_fault_before_z3 name file text changed)
  lacestay_plant(${name} ${file} "${text}" "${changed}" copy)
  add_executable(fault_${name} $<TARGET_OBJECTS:test_proof_z3> ${copy})
  target_link_libraries(fault_${name} PRIVATE lacestay_z3_judge Catch2::Catch2WithMain)
  target_compile_options(fault_${name} PRIVATE -O1 -w)
  add_test(NAME fault_${name} COMMAND bash ${CMAKE_CURRENT_SOURCE_DIR}/support/faults/notices_fault.sh
    $<TARGET_FILE:fault_${name}> [shelf])
endfunction()

# Of the engine and what stands before it.
lacestay_fault(floor_forgotten compiler/law/law.cc "row(*floor).low > outcome.low" "false")
lacestay_fault(cap_forgotten compiler/law/law.cc "row(*cap).low < outcome.low" "false")
lacestay_fault(steps_do_not_add_up compiler/law/law.cc "outcome.low += row(*step).low;" "outcome.low = row(base).low + row(*step).low;")
lacestay_fault(cap_brings_back_what_is_past_the_range compiler/law/law.cc "0 <= outcome.low && outcome.high <" "true || outcome.high <")
lacestay_fault(two_bases_pass compiler/law/law.cc "bases.size() > 1" "bases.size() > 2")
lacestay_fault(worked_out_member_ends_late compiler/check/lower.cc
  "add(just_before(member)), add(just_before(member + 1))" "add(just_before(member)), add(just_before(member + 2))")
lacestay_fault(below_the_smallest_unanswered compiler/check/sizes.cc
  "if (low != ends_.smallest) test.from = checker_.cut_after" "test.from = checker_.cut_after")
lacestay_fault(stiff_end_a_step_late compiler/check/sizes.cc "cut_before(column_, edge(high + 1))" "cut_before(column_, edge(high))")
lacestay_fault(outranks_not_closed compiler/check/outranks.cc "waiting.push_back(under)" "static_cast<void>(under)")
lacestay_fault(any_floor_beside_refer compiler/law/law.cc "highest_floor(of_safety)" "highest_floor(any)")
lacestay_fault(keep_widens compiler/law/law.cc "std::max(outcome.low, keep.low)" "std::min(outcome.low, keep.low)")
lacestay_fault(omit_never_wins compiler/law/law.cc "settle(omits, Standing::left_out)" "settle(omits, Standing::suggested)")
lacestay_fault(open_for_closed compiler/check/conditions.cc "floor_divide(value, grain)) + 1) * grain" "floor_divide(value, grain))) * grain")
lacestay_fault(edge_taken_in compiler/check/lower.cc "std::upper_bound(begin" "std::lower_bound(begin")
lacestay_fault_in(test_derived between_ticks_lost runtime/engine/engine.cc "!= ticks.numerator ? 1 : 0" "!= ticks.numerator ? 0 : 0")
lacestay_fault(last_edge_lost runtime/engine/builder.cc "= begins[cell.column][range.last + 1] = true" "= true")
lacestay_fault(halves_go_down compiler/values/formula.cc "floor_divide(2 * above + below, 2 * below)" "floor_divide(2 * above + below - 1, 2 * below)")
lacestay_fault(ounce_wrong compiler/values/quantity.cc "pound / 16" "pound / 20")

# Of the law's form for all players, noticed by holding it to the form for one set of rows.
set(law_finder compiler/law/find_fault.cc)
lacestay_fault(equal_limits_cross compiler/law/regions.cc "row.low > cap" "row.low >= cap" ${law_finder})
lacestay_fault(cap_passes_over compiler/law/regions.cc "return row.low < step" "return row.low < step - 1" ${law_finder})
lacestay_fault(outranked_base_clashes compiler/law/regions.cc "sets_->without(among(std::move(boxes)), outrankers_of(rule))" "among(std::move(boxes))" ${law_finder})
lacestay_fault(step_of_a_silenced_rule_moves compiler/law/regions.cc "sets_->without(sets_->box(row->box), outrankers_of(row->rule));" "sets_->box(row->box);" ${law_finder})
lacestay_fault(last_step_taken_for_past compiler/law/regions.cc "row.high + by > last" "row.high + by >= last" ${law_finder})
lacestay_fault(step_undone_by_another_matters compiler/law/left_out.cc "!outranks_some(row.rule) && !moves_base(row.effect)" "!outranks_some(row.rule)" ${law_finder})
lacestay_fault(omitted_is_suggested compiler/law/regions.cc "speaking(Effect::suggest), speaking(Effect::omit)" "speaking(Effect::suggest), sets_->nobody()" ${law_finder})
lacestay_fault(equal_floors_matter compiler/law/left_out.cc "speaking(Effect::floor, others([&](const Row& other) { return other.low >= row.low" "speaking(Effect::floor, others([&](const Row& other) { return other.low > row.low" ${law_finder})

lacestay_fault_in(test_proof_enumerated safety_rules_answer_moved compiler/law/law.cc
  "a.safety && !b.safety ? Clash::safety_base_moved" "false ? Clash::safety_base_moved")
lacestay_fault_in(test_difference step_on_another_scale_taken_for_the_same compiler/compare/changed_rows.cc
  "static_cast<std::int64_t>(scale)" "row.high")

# Of groups, noticed by writing the same out for each piece, and by the texts of what is refused.
lacestay_fault_in(test_groups last_piece_of_a_group_forgotten compiler/check/groups.cc
  "i < count; ++i" "i + 1 < count; ++i")
lacestay_fault_in(test_groups claim_of_the_first_piece_alone compiler/check/sures.cc
  "sures.push_back(made);" "sures.push_back(made); break;")
lacestay_fault_in(test_broken unlike_properties_taken_together compiler/check/groups.cc
  "if (alike(policy, found.front(), other)) continue;" "continue;")

# Of the proof, noticed by trying every player of small policies.
lacestay_fault_in(test_proof_enumerated gap_search_stops_early compiler/proof/prover.cc
  "return complete = found.complete;" "complete = found.complete; return false;")
lacestay_fault_in(test_proof_enumerated bases_never_compared compiler/proof/clashes.cc
  "if (one_rule) return;" "return;")
lacestay_fault_in(test_proof_enumerated only_one_pair_of_limits_compared compiler/proof/clashes.cc
  "if (!told) continue;" "return;")
lacestay_fault_in(test_proof_enumerated clash_told_in_part compiler/proof/clashes.cc
  "if (each) tell_rest(std::move(*each));" "static_cast<void>(each);")
lacestay_fault_in(test_proof_enumerated later_rows_of_a_clash_passed_over compiler/proof/clashes.cc
  "boxes.push_back(std::move(box));" "static_cast<void>(box);")
lacestay_fault_in(test_proof_enumerated claim_held_at_one_end_of_a_band compiler/proof/sures.cc
  "{false, true}" "{false, false}")
lacestay_fault_in(test_proof_enumerated at_most_taken_for_under compiler/proof/sures.cc
  "sure.high + 1, true" "sure.high, true")
lacestay_fault_in(test_proof_enumerated falling_taken_for_rising compiler/proof/sures.cc
  "falls ? high : low, later = falls ? low : high" "falls ? low : high, later = falls ? high : low")
lacestay_fault_in(test_proof_enumerated suggested_taken_for_needed compiler/proof/sures.cc
  "sets.without(wrong, who.needed())" "sets.without(wrong, who.present())")

# Of choices left open.
lacestay_fault(open_choice_widened compiler/law/law.cc "const auto left = members & members_of" "const auto left = members | members_of")
lacestay_fault(any_of_them_taken_for_the_first compiler/check/values.cc "all_members(space.steps) : 0" "1 : 0")
lacestay_fault(members_kept_by_safety_alone compiler/law/regions.cc "sets_->without(answered(), shut_out_of(member, any_row))" "sets_->without(answered(), shut_out_of(member, of_safety))" ${law_finder})
lacestay_fault(keep_that_others_make_idle_matters compiler/law/left_out.cc "&& !moves_base(row.effect) && !narrows)" "&& !moves_base(row.effect))" ${law_finder})
# These two are met late among all small tables; samples are enough for them, and take a minute.
set_tests_properties(fault_members_kept_by_safety_alone fault_keep_that_others_make_idle_matters
  PROPERTIES ENVIRONMENT_MODIFICATION "LACESTAY_WHOLE=unset:")
lacestay_fault(item_within_either_of_two_keeps compiler/law/law.cc "*bounds.among & *own.among" "*bounds.among | *own.among" ${law_finder})
lacestay_fault_in(test_proof_enumerated three_that_leave_nothing_pass compiler/proof/clashes.cc
  "if (who.left_open()) emptied_choice(who);" "")
lacestay_fault_in(test_findings rows_told_that_take_nothing_away compiler/proof/clashes.cc
  "if (nothing_left(fewer)) emptying" "if (false) emptying")
lacestay_fault_in(test_proof_enumerated item_of_an_open_choice_is_anything compiler/shelf/stages.cc
  "if (who_.left_open()) return who_.gets(step);" "if (who_.left_open()) return who_.answered();")
lacestay_fault_in(test_shelf_enumerated advised_members_forgotten compiler/shelf/stages.cc
  "all.among = members_of(advised.low);" "")
lacestay_fault_in(test_shelf_enumerated open_safety_base_binds_nothing compiler/shelf/stages.cc
  "return shared_steps(steps, {steps.low, steps.high, members_of(advised.low)});" "return steps;")
lacestay_fault_in(test_difference member_taken_by_its_place compiler/compare/changed_rows.cc
  "members |= MemberSet{1} << meaning[place];" "members |= MemberSet{1} << place;")

# Of players that cannot be.
lacestay_fault_in(test_proof_enumerated shut_out_player_found compiler/space/witness.cc
  "if (held == Fit::all) return Fit::none;" "")
lacestay_fault_in(test_findings free_details_held compiler/proof/sures.cc
  "!held[i] && i != sure.detail) free" "false) free")
lacestay_fault_in(test_proof_enumerated needless_lines_excuse_each_other compiler/proof/prover.cc
  "kept = std::move(others);" "")
lacestay_fault_in(test_proof_enumerated items_of_other_answers_passed_over compiler/proof/remarks.cc
  "add_handed_over(who.table().target, reached);" "")
lacestay_fault_in(test_findings nobody_left_passed_over compiler/proof/prover.cc
  "witnesses_.find(Box{}).kind != Search::Kind::none" "true")
lacestay_fault_in(test_possible those_in_doubt_chosen_freely runtime/engine/possible.cc
  "if (in_doubt) add_tied(bound);" "")
lacestay_fault_in(test_possible tied_by_one_line_alone runtime/engine/possible.cc
  "if (under[i] && !player_.readings[i]) tied_[i] = true;" "static_cast<void>(i);")
lacestay_fault_in(test_difference_enumerated lines_of_both_editions_told compiler/compare/shut_out.cc
  "of_others.push_back(&each.box);" "static_cast<void>(each);")
lacestay_fault_in(test_player whoever_comes_is_let_in runtime/player/player.cc
  "if (!nobody(tables.shut_out)) return" "if (true) return")
lacestay_fault_in(test_player changed_to_who_cannot_be runtime/advice/explanation.cc
  "if (outcome == now || !engine_.can_be(scratch)) continue;\n      best" "if (outcome == now) continue;\n      best")
lacestay_fault_in(test_edge_players edges_of_nobody runtime/rehearse/edge_players.cc
  "return !engine_.can_be(scratch);" "return false;")

# Of the comparison of what may be handed over, noticed by trying every item for every player of small pairs.
lacestay_fault_in(test_items_enumerated changed_bounds_passed_over compiler/compare/changed_rows.cc
  "if (changed.binds) {" "if (false) {")
lacestay_fault_in(test_items_enumerated kinds_dropped_for_worse_ones compiler/compare/items.cc
  "here ? other[i] && !kind[i] : kind[i] && !other[i]" "here ? kind[i] && !other[i] : other[i] && !kind[i]")
lacestay_fault_in(test_items_enumerated line_serves_everybody compiler/compare/items.cc
  "return !rows_.of(rows, line_part(side, line).part, side).empty();" "return true || !rows_.of(rows, line_part(side, line).part, side).empty();")
lacestay_fault_in(test_items_enumerated price_not_compared compiler/compare/asked_beside.cc
  "goods.most = std::min(goods.most, need.most);" "static_cast<void>(0);")
lacestay_fault_in(test_items_enumerated date_of_protection_not_looked_at compiler/compare/asked_beside.cc
  "!(in_date || protection)" "!in_date")

# Of what is proved of the shelf: for all players at once, against what one player may be handed.
lacestay_fault_in(test_findings binding_cap_lets_items_pass compiler/law/regions.cc
  "{Effect::floor, Effect::cap, Effect::keep})\n    all = " "{Effect::floor, Effect::keep})\n    all = ")
lacestay_fault_in(test_proof_enumerated stage_serves_past_the_range compiler/shelf/stages.cc
  "if (asked.moved < 0) all = ends.from(-asked.moved, false);" "")
lacestay_fault_in(test_proof_enumerated safety_base_binds_nothing compiler/shelf/stages.cc
  "return sets.without(all, sets.without(bound, kept));" "return all;")
lacestay_fault_in(test_proof_enumerated fitters_piece_is_sold compiler/proof/shelf_claims.cc
  "wrong = sets.without(wrong, *elsewhere);" "")
lacestay_fault_in(test_proof_enumerated safety_rule_told_of_as_idle compiler/law/left_out.cc
  "if (row.safety || row.binds) return" "if (false) return")
lacestay_fault_in(test_proof_enumerated line_of_others_refutes compiler/proof/shelf_claims.cc
  "all = sets.both(all, players);" "static_cast<void>(players);")
lacestay_fault_in(test_proof_enumerated lines_that_meet_pass compiler/proof/shop_lines.cc
  "std::size_t k = i + 1; k <" "std::size_t k = i + 2; k <")
# What both of these share is judged by z3.
lacestay_fault_before_z3(settling_not_proved compiler/shelf/stages.cc
  "{stages_of(policy, piece, line), settled_stages(policy, piece, line)}" "{stages_of(policy, piece, line)}")
lacestay_fault_before_z3(moved_stage_forgotten compiler/shelf/stages.cc
  "asked.moved = steps;" "static_cast<void>(steps);")

# Of what a policy is told, noticed by broken policies.
lacestay_fault_in(test_broken worked_out_of_another_kind_relied_on compiler/check/details.cc
  "if (same && whole) return;" "if (known.worked_out || (same && whole)) return;")

# Of the kit builder, noticed by looking at every kit of small shops.
lacestay_fault_in(test_kit_enumerated equal_bounds_cut_off runtime/kit/builder.cc
  "best_->value < open_.top().bound" "best_->value <= open_.top().bound")
lacestay_fault_in(test_kit_enumerated better_label_dropped runtime/kit/labels.cc
  "label.value.first >= held.value.first" "true")
lacestay_fault_in(test_kit_enumerated items_that_do_not_go_together runtime/kit/state_graph.cc
  "allowances.lets(p, kind.link_class, counts) &&" "")
lacestay_fault_in(test_kit_enumerated cheaper_one_with_other_partners runtime/kit/offers.cc
  "by_reach.try_emplace({reaching, item.link_class}" "by_reach.try_emplace({reaching, 0}")
lacestay_fault_in(test_kit_enumerated kit_met_that_does_not_go_together runtime/kit/builder.cc
  "if (!links_.fit(choice)) return;" "")
lacestay_fault_in(test_kit_enumerated sum_taken_off_twice runtime/kit/deals.cc
  "sum -= whole_off(choice, deal, lines) * scale_" "sum -= 2 * whole_off(choice, deal, lines) * scale_")
lacestay_fault_in(test_kit_enumerated halves_against_the_customer runtime/kit/deals.cc
  "(2 * exact + unit_) / (2 * unit_)" "(2 * exact + unit_ - 1) / (2 * unit_)")
lacestay_fault_in(test_kit_enumerated limit_short_by_one runtime/kit/deals.cc
  "*problem_.limit * scale_" "(*problem_.limit - 1) * scale_")
lacestay_fault_in(test_kit_enumerated implied_the_wrong_way runtime/kit/fixings.cc
  "if (fixings[b] == Fixing::out) fixings[a] = Fixing::out;" "if (fixings[a] == Fixing::out) fixings[b] = Fixing::out;")
lacestay_fault_in(test_kit_enumerated more_off_than_the_line runtime/kit/bill.cc
  "std::min(deals.parts(deal), deals.unit() - parts[p])" "deals.parts(deal)")

# Of what is still possible, noticed by trying every completion.
lacestay_fault_in(test_possible_pieces possible_of_those_without_the_piece runtime/engine/possible.cc
  "search(table, &among).run()" "search(table).run()")
lacestay_fault_in(test_possible_pieces piece_and_property_taken_apart runtime/engine/possible.cc
  "if (inside <= most) continue;" "continue;")
lacestay_fault_in(test_possible_pieces piece_chosen_freely runtime/engine/possible.cc
  "count == Count::all ? bound_ : all_bound_" "bound_")
lacestay_fault_in(test_possible_pieces taken_next_for_nobody runtime/engine/possible.cc
  "possible.concerns ? " "true ? ")
lacestay_fault_in(test_form_1 narrower_now_taken_for_other runtime/reopen/day_entry.cc
  "form > 1 || !of_property" "true")

# Of what is told, noticed by small shops.
lacestay_fault_in(test_certain cautions_taken_for_certain runtime/advice/advice.cc
  "note(answer);\n    for" "for")
lacestay_fault_in(test_quote_plan other_items_not_named runtime/quote/quote.cc
  "made.other_items = other_items(bill);" "made.other_items.clear();")

# Of the daybook, noticed by entries altered, dropped and moved, and by looking for what was forgotten in every byte.
lacestay_fault_in(test_daybook hash_leaves_out_the_stock runtime/daybook/chain.cc
  "or_null(head.stock)" "nullptr")
lacestay_fault_in(test_daybook entry_may_follow_any_other runtime/daybook/verify.cc
  "else if (entry.head.previous != result.last_hash)" "else if (false)")
lacestay_fault_in(test_daybook missing_entry_not_told runtime/daybook/verify.cc
  "if (number > last + 1)" "if (false)")
lacestay_fault_in(test_daybook content_not_held_to_its_hash runtime/daybook/verify.cc
  "hash_of_content(*entry.salt, *entry.content) != entry.head.content_hash" "false")
lacestay_fault_in(test_daybook_forget erased_content_stays runtime/daybook/forget.cc
  "SET content = NULL, salt = NULL WHERE" "SET salt = NULL WHERE")
lacestay_fault_in(test_daybook_forget shelf_of_another_entry_erased runtime/daybook/forget.cc
  " AND NOT EXISTS (SELECT 1 FROM shelf_use WHERE shelf = ?1)" "")
lacestay_fault_in(test_daybook_forget journal_not_emptied runtime/daybook/forget.cc
  "wal_checkpoint(TRUNCATE)" "wal_checkpoint(PASSIVE)")

# Of what is shown, noticed by reading every number back.
lacestay_fault_in(test_numbers_shown unit_of_a_detail_dropped compiler/check/formulas.cc
  "text.scale.shown = known.shown;" "text.scale.shown = {ShownUnit{}};")
lacestay_fault_in(test_numbers_shown edge_shown_in_another_unit runtime/advice/explanation.cc
  "const auto edge_text = scale.write_edge(edge);" "const auto edge_text = policy_.details.back().scale.write(edge);")
lacestay_fault_in(test_numbers_shown part_of_a_tick_dropped runtime/advice/explanation.cc
  "return {value.numerator * in_one, value.denominator};"
  "return {compiler::floor_divide(value.numerator * in_one, value.denominator), 1};")

lacestay_fault_in(test_numbers_written fractions_shown_with_a_point compiler/values/quantity.cc
  "if (!unit.fractions) return decimal" "if (true) return decimal")
lacestay_fault_in(test_numbers_written edge_shown_in_other_units compiler/tables/policy.cc
  "known->at == value ? known->units" "false ? known->units")
lacestay_fault_in(test_told_in told_in_another_unit runtime/player/player.cc
  "player_.told_in[detail] = compiler::units_of(*quantity);" "player_.told_in[detail] = text.scale.shown;")
lacestay_fault_in(test_stock whole_cell_parted_first runtime/stock/cells.cc
  "if (member) {" "if (member && depth > 1) {")
lacestay_fault(last_of_a_range_left_out compiler/check/spans.cc "*high + *whole" "*high + 0 * *whole")
lacestay_fault(uneven_sizes_taken_for_even compiler/tables/policy.cc
  "sizes.empty() ? first + of_step * step : sizes" "sizes.empty() || of_step > 1 ? first + of_step * step : sizes")

# Of the shelf, noticed by trying every player of small policies with every item, and by the shipped policy's quotes.
lacestay_fault_in(test_shelf_enumerated stage_forgets_the_floor compiler/shelf/stages.cc
  "StepRange steps{bounds.low, bounds.high" "StepRange steps{0, bounds.high")
lacestay_fault_in(test_shelf_enumerated base_a_floor_under_as_advised compiler/shelf/stages.cc
  "return Kind::as_advised;" "return Kind::at_least;")
lacestay_fault_in(test_shelf_enumerated shaft_left_uncut compiler/shelf/stages.cc
  "if (asked.cut_to) {\n    // As it is" "if (false) {\n    // As it is")
lacestay_fault_in(test_shelf_enumerated bounds_of_one_possible_player runtime/quote/holding.cc
  "bound = shared_steps(bound, compiler::steps_bound(asked, bounds, outcome))"
  "bound = compiler::steps_bound(asked, known.bounds.front().first, known.bounds.front().second)")
lacestay_fault_in(test_shelf_enumerated referred_where_unnamed_passed_over runtime/quote/matching.cc
  "if (reaches_items() && is_the_fitters(made.piece))" "if (false)")
lacestay_fault_in(test_shelf_enumerated perhaps_referred_passed_over runtime/quote/matching.cc
  "if (!looked_at && reaches_items() &&" "if (!looked_at && false &&")
lacestay_fault_in(test_shelf_shipped blank_cell_let_through runtime/quote/holding.cc
  "if (!has.known || held.steps.empty()) return false" "if (!has.known) return true; if (held.steps.empty()) return false")

# Of what may be handed over and what the till gives, noticed by trying everybody with every item.
lacestay_fault_in(test_shelf_enumerated line_counts_where_it_may_apply runtime/quote/matching.cc
  "return some && others ? Applies::not_certain" "return some && others ? Applies::yes")
lacestay_fault_in(test_shelf_enumerated dear_item_accepted runtime/quote/holding.cc
  "item.price > need.most" "item.price > need.most + 1")
lacestay_fault_in(test_shelf_enumerated asked_of_used_and_new_alike runtime/quote/holding.cc
  "if (!need.is_of(item.used)) continue;" "")
lacestay_fault_in(test_shelf_enumerated used_goods_never_looked_for compiler/shelf/stages.cc
  "stage.instead = i;\n    if (line.kind == Instead::Kind::any_condition)\n      stage.any_condition = true;"
  "stage.instead = i;\n    if (line.kind == Instead::Kind::any_condition)\n      stage.any_condition = false;")
lacestay_fault_in(test_shelf_enumerated sold_without_what_it_needs runtime/quote/partners.cc
  "while (const auto lost = not_sold_without(links, offers, taken))"
  "while (const auto lost = links.empty() ? not_sold_without(links, offers, taken) : std::nullopt)")
lacestay_fault_in(test_shelf_enumerated item_yet_to_be_made runtime/quote/holding.cc
  "*item.made <= today_ && " "")
lacestay_fault_in(test_quote worth_to_others_counted runtime/quote/posed.cc
  "if (!is_for_him(each.players)) continue;" "")
lacestay_fault_in(test_quote put_off_for_others runtime/quote/quote.cc
  " || !posing_.is_for_him(step.players)" "")
lacestay_fault_in(test_shelf_enumerated deal_for_others_given runtime/quote/posed.cc
  "if (!is_for_him(deal.players)) return std::nullopt;" "")

# Pieces that go together.
lacestay_fault_in(test_shelf_enumerated beside_what_the_customer_has runtime/quote/matching.cc
  "made.kind = Match::Kind::refer;\n    made.partner_owned" "made.partner_owned")
lacestay_fault_in(test_shelf_enumerated partner_not_on_the_bill_passed_over runtime/quote/matching.cc
  "return match && !match->suggested &&" "return match &&")
lacestay_fault_in(test_quote stages_not_together runtime/quote/partners.cc
  "past[0] = stage > 0 ? 1 : 0;" "past[0] = 0;")
lacestay_fault_in(test_shelf_enumerated item_that_goes_with_none_kept runtime/quote/partners.cc
  "round < offers_.size()" "round < 0")
lacestay_fault_in(test_shelf_enumerated partners_not_looked_at runtime/quote/posed.cc
  "problem.links = links(pieces);" "")

# Charts in spreadsheets.
lacestay_fault(spreadsheet_answers_turned_about grammar/read/sheet.cc
  "made.cells.push_back(" "made.cells.insert(made.cells.begin(), ")
lacestay_fault_in(test_csv quoted_separator_begins_a_column grammar/text/csv.cc
  "begins = c == separator && !quoted" "begins = c == separator")
lacestay_fault_in(test_stock chart_taken_for_stock runtime/stock/stock.cc
  "return grammar::begins_as_sheet(" "return false && grammar::begins_as_sheet(")
lacestay_fault_in(test_stock stock_named_like_a_chart_passed_over runtime/stock/stock.cc
  "return grammar::begins_as_sheet(" "return true || grammar::begins_as_sheet(")
lacestay_fault_in(test_sealed_round_trip first_row_of_a_spreadsheet_forgotten runtime/seal/sources.cc
  "if (policy.sources[i]->is_sheet()) keep(i, 0);" "")
lacestay_fault_in(test_sealed_round_trip spreadsheet_loaded_as_lines runtime/seal/sources.cc
  "sheet ? Source::Shape::sheet" "sheet ? Source::Shape::lines")
lacestay_fault_in(test_chart_sheets one_member_of_a_head_written runtime/chart/chart_sheets.cc
  "out += (out.empty() ? \"\" : \" or \") + member.as_written();" "out = member.as_written();")

# Deals that give one piece with others.
lacestay_fault_in(test_kit_enumerated gift_off_every_line runtime/kit/offers.cc
  "&& deals_.problem().deals[application.deal].reduces(piece)" "")
lacestay_fault_in(test_quote tag_of_a_deal_not_looked_at runtime/quote/posed.cc
  "tag->least <= tried.price && " "")
lacestay_fault_in(test_quote whole_kit_of_all_that_is_sold runtime/quote/posed.cc
  "deal.whole_kit ? std::max<std::size_t>(pieces.size(), 2) : deal.at_least" "deal.at_least")

# What is settled for over the limit. That it is proved, and for whom, z3 and the naive shelf hold.
lacestay_fault_in(test_quote_plan settled_for_what_costs_more runtime/quote/quote.cc
  "made && made->total < bill.total ?" "made ?")
