// What stands on the printed sheet, as rows of a given width.
#pragma once

#include <string_view>
#include <vector>

#include "sheet/pdf.h"
#include "sheet/press.h"
#include "sheet/sheet.h"

namespace baylore::sheet {

class Composer {
 public:
  // All must outlive the rows; `width` is a column's.
  Composer(const Sheet& sheet, const std::vector<Pixels>& pictures, const Press& press,
           double width)
      : sheet_(sheet), pictures_(pictures), press_(press), width_(width) {}

  // Across the page: title with the blanks to be filled in, warnings, cautions.
  [[nodiscard]] Rows top(double across) const;
  // In the columns; empty where the tip says nothing.
  [[nodiscard]] Rows symptom() const;
  [[nodiscard]] Rows checks() const;
  [[nodiscard]] Rows location() const;
  [[nodiscard]] Rows repair() const;
  [[nodiscard]] Rows fasteners() const;
  [[nodiscard]] Rows parts() const;
  [[nodiscard]] Rows finish() const;
  [[nodiscard]] Rows verify() const;
  // At the foot of each page.
  [[nodiscard]] Rows foot(double across) const;

 private:
  [[nodiscard]] Rows head(std::string_view word, std::string_view beside = {}) const;
  [[nodiscard]] Rows prose(const std::vector<Paragraph>& paragraphs, bool cells) const;
  [[nodiscard]] Rows check(const SheetCheck& check, int number) const;
  [[nodiscard]] Rows expected(const Expected& expected, double indent) const;
  [[nodiscard]] Rows fastener(const SheetFastener& fastener) const;
  [[nodiscard]] Rows torque(const SheetFastener& fastener, double indent) const;
  [[nodiscard]] Rows part(const SheetPart& part) const;
  [[nodiscard]] Rows acceptance(const SheetCheck& check) const;
  [[nodiscard]] Rows picture(const SheetPicture& picture, const Pixels* pixels) const;
  [[nodiscard]] Rows title(double across) const;
  [[nodiscard]] Rows cautions(double across) const;
  [[nodiscard]] Row space(double points) const;
  [[nodiscard]] Row hairline() const;

  const Sheet& sheet_;
  const std::vector<Pixels>& pictures_;
  const Press& press_;
  double width_;
};

// --- for composing
void append(Rows& to, Rows from);
// Into one column, where that can be.
void together(Rows& rows);

}  // namespace baylore::sheet
