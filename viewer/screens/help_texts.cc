#include "viewer/screens/help_texts.h"
#include "words/words.h"

namespace baylore::viewer {
namespace {

const HelpText& typing_help() {
  static const HelpText kHelp{
      marked("Typing"),
      {{marked("Keys"),
        marked("A touch between two keys belongs to the nearer one. 123 has figures, units "
               "and signs.")},
       {marked("Words"),
        marked("Words of this shop that begin like yours stand by the keys: a tap takes one.")},
       {marked("A keyboard or a scanner"),
        marked("Both work at any time, without touching a field first.")}}};
  return kHelp;
}

}  // namespace

const HelpText& help_text(Screen screen) {
  switch (screen) {
    case Screen::job: {
      static const HelpText kHelp{
          marked("Job"),
          {{marked("The line"),
            marked("Type or scan what you know: the car, what the customer says, a "
                   "code, a part number, a "
                   "VIN. A VIN is read and not kept.")},
           {marked("Tokens"),
            marked("What was understood hangs from the line. A tap takes one out.")},
           {marked("Results"), marked("The fit says whether a tip is for this car; the small words "
                                      "why it was found. Tips "
                                      "for other cars stand below the rule.")},
           {marked("The rule at the left"),
            marked(
                "Vehicle, words, code, when, how often, after what: filled when it is answered.")},
           {marked("Park"),
            marked("Puts the job aside with everything on it. It waits in the list at the left.")},
           {marked("Next check"),
            marked("Weighs the tips that may be the cause and proposes one thing to do.")},
           {marked("The tag"),
            marked("The number of the job at hand, and its car: look at it before you "
                   "read a value.")}}};
      return kHelp;
    }
    case Screen::tip: {
      static const HelpText kHelp{
          marked("Tip"),
          {{marked("First view"),
            marked(
                "Cautions, the symptom, the first check. The picture and the fastener stay beside "
                "them.")},
           {marked("The rule"),
            marked("A long tick is a section, filled when all of it is done. A tap goes there.")},
           {marked("Cells"),
            marked("Tick off checks, steps and fasteners. The ticks stay with this job.")},
           {marked("Fastener"),
            marked("Its torque in two units. A tap shows the next one; an adapter on "
                   "the wrench is worked "
                   "out under Adapter.")},
           {marked("More"), marked("Question this tip, edit it, hand it on, sections, outcome.")},
           {marked("Hatched band"),
            marked("Somebody questioned this tip: who, what, since when.")}}};
      return kHelp;
    }
    case Screen::reading: {
      static const HelpText kHelp{
          marked("Reading"),
          {{marked("Scale"),
            marked(
                "The bracket is what the tip expects. A dot is in range, a triangle low or high, a "
                "ring on the edge.")},
           {marked("Units"),
            marked("Type in the unit your tool shows: it is turned into the tip's.")},
           {marked("Not showing now, could not check"),
            marked("Are answers too, and are weighed as such.")},
           {marked("Keep"),
            marked("Puts the reading on the job; the car's earlier one stands beside it.")}}};
      return kHelp;
    }
    case Screen::next: {
      static const HelpText kHelp{
          marked("Next check"),
          {{marked("One check"),
            marked("The one that tells most for its minutes, with the reason and what "
                   "each answer would "
                   "mean.")},
           {marked("Causes"),
            marked("A bar and a word for each. A tap shows what speaks for it and against it.")},
           {marked("Skip, Other"),
            marked(
                "Puts this check off, or shows all of them. Under Other say which tools this shop "
                "lacks.")}}};
      return kHelp;
    }
    case Screen::causes:
    case Screen::ledger: {
      static const HelpText kHelp{
          marked("Cause"),
          {{marked("For and against"),
            marked("Every answer that moved this cause, and by how much.")},
           {marked("Repair was done and did not help"),
            marked("Takes the cause back, and the next check is chosen anew.")}}};
      return kHelp;
    }
    case Screen::part: {
      static const HelpText kHelp{
          marked("Part"),
          {{marked("Rivals"), marked("Numbers that fit the same place, on one axis: what came back "
                                     "of each, and how sure "
                                     "that is. A bar leads to the jobs behind it.")},
           {marked("Too few to judge"),
            marked("Under five fitted there is no bar: it would only look like knowledge.")},
           {marked("Before it goes in"),
            marked("What to look at and measure on the part in your hand.")},
           {marked("Order list"),
            marked("The part with what goes with it: seals, fasteners used once, core charge.")},
           {marked("Record"),
            marked("Says that one was bad in the box, or goes on to the outcome.")}}};
      return kHelp;
    }
    case Screen::order: {
      static const HelpText kHelp{
          marked("Order list"),
          {{marked("Lines"), marked("A tap ticks off what is at hand already.")},
           {marked("Take off"),
            marked("Takes a part from the list with what came along with it.")}}};
      return kHelp;
    }
    case Screen::write: {
      static const HelpText kHelp{
          marked("Write"),
          {{marked("Fields"),
            marked("In the order of the work. A title and some text make a good tip; the "
                   "rest helps the "
                   "next one.")},
           {marked("To look at"),
            marked("What the check finds while you type, and in which field.")},
           {marked("Whole"), marked("The same as one text, as it stands in the file.")},
           {marked("Kept"),
            marked("What you type is on the disk within two seconds. Save makes it a tip "
                   "that every bay "
                   "finds.")}}};
      return kHelp;
    }
    case Screen::outcome: {
      static const HelpText kHelp{
          marked("Outcome"),
          {{marked("Fixed, not fixed, waiting"),
            marked("What the job came to. Later tips and parts are judged by it.")},
           {marked("Not marked tight"), marked("Fasteners of the tip that nobody ticked.")},
           {marked("Odometer and minutes"),
            marked("Make comebacks and times comparable. Both can be left out.")}}};
      return kHelp;
    }
    case Screen::packs:
    case Screen::pack:
    case Screen::seal:
    case Screen::settle: {
      static const HelpText kHelp{
          marked("Packs"),
          {{marked("A pack"),
            marked("Tips of another location in one signed file, or yours for them.")},
           {marked("Before and after"),
            marked("A pack is looked at first, beside what is here now. "
                   "Nothing changes before Take in.")},
           {marked("Take out"),
            marked("Undoes one pack as a whole. What was edited here since stays.")},
           {marked("Our key"),
            marked("What the other location compares, so that it knows your packs are yours.")},
           {marked("To settle"),
            marked("Where two people changed the same place: both stand side by side until someone "
                   "chooses.")}}};
      return kHelp;
    }
    case Screen::adapter: {
      static const HelpText kHelp{
          marked("Adapter"),
          {{marked("What to set"),
            marked(
                "A crow-foot or extension changes the arm. Type the lengths; the setting for the "
                "wrench is worked out.")},
           {marked("Pull at the grip"),
            marked("The sum holds for a hand at the middle of the grip.")}}};
      return kHelp;
    }
    case Screen::work_out: {
      static const HelpText kHelp{
          marked("Work out"),
          {{marked("Fields"),
            marked("Tap one, type its number. The answer follows as soon as all are there.")}}};
      return kHelp;
    }
    case Screen::frame: {
      static const HelpText kHelp{
          marked("Freeze frame"),
          {{marked("Values"), marked("As the scan tool shows them; leave out what it does not.")},
           {marked("Units"),
            marked("The key in the strip changes between metric and the others.")}}};
      return kHelp;
    }
    case Screen::photo: {
      static const HelpText kHelp{
          marked("Picture"),
          {{marked("+ and −"),
            marked("Closer and further away; Fit shows the whole picture again.")},
           {marked("Moving it"), marked("Drag it, or use the arrows.")},
           {marked("Numbers"),
            marked("A mark's number stands beside the place it means; its words stand with the "
                   "caption.")}}};
      return kHelp;
    }
    case Screen::photo_take: {
      static const HelpText kHelp{
          marked("Pictures from a stick"),
          {{marked("From"),
            marked("The stick or camera's folder that is shown. A tap chooses another one.")},
           {marked("Pictures"),
            marked("Tap those that help the next one; the newest of the camera come first.")},
           {marked("Take in"), marked("Each is turned upright, made smaller and copied without "
                                      "place, time and device. What "
                                      "is on the stick stays as it is.")}}};
      return kHelp;
    }
    case Screen::photo_mark: {
      static const HelpText kHelp{
          marked("Marks"),
          {{marked("A mark"), marked("Tap the place in the picture, or Mark for its middle.")},
           {marked("Arrows"),
            marked("Move the chosen mark by a little; with none chosen, the picture.")},
           {marked("Words"), marked("What the chosen mark shows: weep hole, clip, earth point.")},
           {marked("Section"), marked("Where in the tip the picture stands.")},
           {marked("Undo"), marked("Takes back the last change of this picture.")}}};
      return kHelp;
    }
    case Screen::sheet: {
      static const HelpText kHelp{
          marked("Sheet"),
          {{marked("The square"),
            marked("A phone's camera reads the text out of it, without a network.")},
           {marked("Save PDF"), marked("Writes the working sheet to the place named beside it.")}}};
      return kHelp;
    }
    case Screen::calibrate: {
      static const HelpText kHelp{
          marked("Size of the panel"),
          {{marked("Ruler"), marked("Make it as long as a real one: keys then are as large as your "
                                    "glove needs, and text can be read from an arm's length.")}}};
      return kHelp;
    }
    case Screen::ask:
      return typing_help();
    case Screen::menu: {
      static const HelpText kHelp{
          marked("Lists and settings"),
          {{marked("Rows"), marked("A tap chooses; Back leaves everything as it was.")},
           {marked("Settings"),
            marked(
                "Are this terminal's own. Units and altitude are the shop's, for all its bays.")},
           {marked("Dims, hides"),
            marked(
                "A panel that nobody touches dims, then hides the job. A touch brings it back.")}}};
      return kHelp;
    }
    case Screen::help:
      break;
  }
  return typing_help();
}

}  // namespace baylore::viewer
