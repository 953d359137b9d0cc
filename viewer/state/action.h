// What a screen can ask for. Plain data, so that a test can ask for it without a window.
#pragma once

#include <string>
#include <vector>

namespace baylore::viewer {

enum class Do {
  back,
  type,  // text: what was typed into whatever has the caret
  erase,
  erase_forward,
  caret_left,
  caret_right,
  caret_home,
  caret_end,
  caret_to,  // number: byte
  suggest,   // text: the word to put in place of the one at the caret
  enter,     // the keyboard's own primary: search, new line, done
  key_page,  // letters or numbers
  focus_line,
  scanned,  // text: what a scanner read while a keypad had the keys
  clear_line,
  drop_token,     // text: the token's key
  complete_code,  // text: one of the codes that a half code can be
  take_guess,     // number: which vehicle of those a VIN like this one turned out to be
  new_job,
  open_job,     // text: its id
  take_over,    // text: id of a job of another bay
  leave_to,     // this bay's version of a job that another has too is put among the finished
  open_frame,   // text: the code whose freeze frame is typed
  frame_field,  // number: which of its values
  frame_units,  // metric, or the others
  keep_frame,
  park,
  park_because,  // text: the reason
  finish_job,
  show_parked,
  open_tip,  // text: id
  open_best,
  tick,  // text: tick key
  tick_next,
  go_section,    // text: section key
  here,          // text: section now in view (from scrolling)
  scrolled,      // what was to be brought into view is there
  show_symptom,  // all of a long symptom, or its first lines
  next_fastener,
  take_reading,  // text: check id; number 1: after the repair
  digit,         // text: a digit, '.' or '–'
  digit_erase,
  reading_unit,    // text: its symbol
  reading_result,  // text: yes, no, not showing now, could not check
  reading_second,  // the keypad types what the correction asks for, and back
  reading_clear,
  keep_reading,
  open_adapter,
  adapter_field,  // number: 0 length, 1 reach, 2 angle
  open_formula,   // text: its name
  work_field,     // number: which of its numbers
  open_next,      // what to check next
  next_reading,   // text: id of the check to do
  answer_check,   // text: id of a check with a plain answer; number 1: as expected, 0: not
  skip_check,     // text: id
  unskip,         // all of them are offered again
  take_back,      // the last answer
  open_causes,
  open_ledger,   // number: which cause of the case
  repair_tried,  // text: id of the tip whose repair was done and did not help
  open_outcome,
  outcome_result,   // text: its word
  outcome_field,    // number: 0 odometer, 1 minutes
  outcome_unit,     // km or miles
  record_outcome,   // number 1: and write a tip from the job
  open_part,        // text: its name as typed, scanned or written
  part_by,          // number: quality::By of its rows
  part_view,        // number: PartView
  part_records,     // text: name of a number of the family
  accept_check,     // text: id of an acceptance check of the part shown
  accept_toggle,    // text: id of one with a plain answer: as expected, and back
  record_part,      // what became of the part in the hand
  dead_on_arrival,  // it was bad in the box
  part_fitted,      // it goes in: the outcome with it
  open_order,       // text: a part to add; empty: none
  take_off,         // text: a part on the order list
  at_hand,          // text: key of a line of the order list
  open_packs,       // text: "again" looks at the places anew
  open_taken,       // text: folder of a received pack; empty: none
  open_photo,       // number: which picture of the tip
  photo_step,       // number: the next one, or -1
  photo_view,       // x, y, z: place in the picture that comes to the middle, zoom
  open_photos,      // what can be taken in from a stick or a camera's folder
  photos_place,     // text: its folder; the same again looks anew
  photo_tick,       // text: path of a picture that is taken in, or not
  take_photos,      // those that are ticked
  stop_photos,      // gives that up: nothing of it stays
  mark_photo,       // number: which picture of the draft
  mark_at,          // x, y: a place in it
  mark_choose,      // number: which of its marks; -1: none
  mark_nudge,       // x, y: how far the chosen one moves
  mark_undo,        // the last change of this picture
  mark_next,        // on to the next picture taken in, or back to Write
  photo_ask,        // text: "caption" or "words", to be typed
  show_key,         // this terminal's public key, and back
  open_pack,        // text: path of its file
  pack_item,        // number: the text of the pack that shows; -1: the list, on a phone
  pack_tick,        // number: it is taken, or not
  pack_all,         // number: 1 all that can be, 0 none
  accept_pack,
  stop_pack,  // gives up what is under way
  undo_pack,  // text: folder of a received pack
  open_seal,
  seal_tick,  // text: id of a tip that goes, or not
  seal_ask,   // text: "words" or "since", to be typed
  seal_pack,
  open_settle,   // number: which of those that wait
  settle_place,  // number: the place where theirs stands, or ours again
  settle_all,    // number: 1 theirs, 0 ours
  settle,
  open_sheet,
  sheet_step,  // number: 1 the next code, -1 the one before
  sheet_paper,
  save_sheet,
  write_new,
  write_finished,  // from the finished job whose row was tapped
  write_edit,      // the tip being shown
  write_field,     // text: field key
  write_fields,    // back to the list of fields
  preview,
  save_tip,
  save_as_new,
  drop_draft,
  ask_question,
  ask_submit,
  settle_question,  // text: question id
  menu,             // text: which menu
  choose,           // text: the row's id in the current menu
  start_shop,
  open_shop,  // text: folder of a shop that is there
  dismiss,
  stop_building,  // the store stays as it was until the next change or start
  undo,           // what the notice says was done
  hide,           // the job, until the next touch
  wake,           // text: id of the job to go on with; empty: the one at hand
  help,           // of the screen shown, and back
  ppi_by,         // number: per cent that the ruler grows
  ppi_panel,      // as the panel says, or assumed
  keep_ppi,
  begin,      // the first questions are answered
  tour_next,  // from the first step on
  tour_end,
};

struct Action {
  Do what;
  std::string text;
  int number = 0;
  float x = 0;  // places and moves
  float y = 0;
  float z = 0;
};
using Actions = std::vector<Action>;

}  // namespace baylore::viewer
