// The part of the desk that makes working sheets: codes to show, and PDFs on a stick or in a
// folder. A thread of its own, since pictures are decoded for a PDF.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "files/disk.h"
#include "shop/finding.h"
#include "shop/records.h"
#include "shop/tip.h"
#include "viewer/state/sheet.h"

namespace baylore::viewer {

// The tip as it is shown.
struct SheetAsked {
  std::string id;
  shop::Tip tip;
  shop::Findings findings;
  std::vector<shop::Question> doubts;
};

// --- what comes back

struct SheetMade {
  std::shared_ptr<const SheetPage> page;
};
struct SheetSaved {
  std::string path;
  int pages = 0;
  std::optional<files::Failure> failure;
};
using SheetEvent = std::variant<SheetMade, SheetSaved>;

struct SheetDeskOptions {
  std::string shop;
  std::string state_folder;         // its sheets/ is always a place to write to
  std::vector<std::string> places;  // further folders, besides what is mounted
  std::string mounts;               // the table of what is mounted; empty: no sticks are looked for
  std::string photo_program;        // path of baylore-photo
  files::Disk* disk = nullptr;      // must outlive the desk
  std::function<void(SheetEvent)> emit;
};

class SheetDesk {
 public:
  explicit SheetDesk(SheetDeskOptions options);
  ~SheetDesk();  // finishes the PDF that is being written
  SheetDesk(const SheetDesk&) = delete;
  SheetDesk& operator=(const SheetDesk&) = delete;

  // Newest wins.
  void make(SheetAsked asked);
  // SLUG-sheet.pdf in the folder, which has to be there.
  void save(SheetAsked asked, sheet::Paper paper, std::string folder);
  [[nodiscard]] bool quiet() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace baylore::viewer
