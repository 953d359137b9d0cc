#include "trade/unit.h"

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "trade/scan.h"

namespace baylore::trade {
namespace {

using enum Dimension;
using enum UnitId;

// Exact by definition: the international pound, the standard gravity, the inch (NIST SP 811, from
// memory). Everything else is built from them.
constexpr long double kGravity = 9.80665L;
constexpr long double kPoundKg = 0.45359237L;
constexpr long double kPoundForceN = kPoundKg * kGravity;
constexpr long double kInchM = 0.0254L;
constexpr long double kFootM = 0.3048L;
constexpr long double kMileM = 1609.344L;
constexpr long double kUsGallonM3 = 0.003785411784L;
constexpr long double kImperialGallonM3 = 0.00454609L;
constexpr long double kCubicInchM3 = kInchM * kInchM * kInchM;
// Conventional columns: mercury at 0 °C, water of 1000 kg/m³ (NIST SP 811, from memory).
constexpr long double kMillimetreMercuryPa = 133.322387415L;
constexpr long double kMillimetreWaterPa = kGravity;

// Spellings are keys: what is typed, without blanks, dots and dashes (see key_of). The first one is
// the shortest the symbol folds to.
constexpr std::array<Unit, static_cast<std::size_t>(kCountUnit) + 1> kUnits = {{
    {kNewtonMetre, kTorque, "N·m", "newton metre",
     "Nm|newtonmetre|newtonmetres|newtonmeter|newtonmeters", 1.0L, 0},
    {kPoundForceFoot, kTorque, "lbf·ft", "pound-force foot",
     "lbfft|lbft|lbsft|ftlb|ftlbs|ftlbf|footpound|footpounds|poundfoot|poundfeet|poundsfoot|"
     "poundsfeet|"
     "lbffoot|ftpounds",
     kPoundForceN* kFootM, 0},
    {kPoundForceInch, kTorque, "lbf·in", "pound-force inch",
     "lbfin|lbin|lbsin|inlb|inlbs|inlbf|inchpound|inchpounds|poundinch|poundinches|poundsinch|"
     "inpounds|"
     "inchlb|inchlbs|lbinch",
     kPoundForceN* kInchM, 0},
    {kKilogramForceMetre, kTorque, "kgf·m", "kilogram-force metre", "kgfm|kgm|mkg|mkgf|mkp|kpm",
     kGravity, 0},
    {kKilogramForceCentimetre, kTorque, "kgf·cm", "kilogram-force centimetre",
     "kgfcm|kgcm|cmkg|cmkgf", kGravity * 0.01L, 0},
    {kOunceForceInch, kTorque, "ozf·in", "ounce-force inch",
     "ozfin|ozin|inoz|inozf|inchounce|inchounces", kPoundForceN* kInchM / 16.0L, 0},
    {kNewtonCentimetre, kTorque, "N·cm", "newton centimetre", "Ncm|newtoncentimetre", 0.01L, 0},

    {kKilopascal, kPressure, "kPa", "kilopascal", "kPa|kilopascal|kilopascals", 1000.0L, 0},
    {kPsi, kPressure, "psi", "pound-force per square inch", "psi|psig|lb/in2|lbf/in2|lbs/in2",
     kPoundForceN / (kInchM * kInchM), 0},
    {kBar, kPressure, "bar", "bar", "bar|bars", 1e5L, 0},
    {kMillibar, kPressure, "mbar", "millibar", "mbar|millibar|millibars", 100.0L, 0},
    {kPascal, kPressure, "Pa", "pascal", "Pa|pascal|pascals", 1.0L, 0},
    {kHectopascal, kPressure, "hPa", "hectopascal", "hPa|hectopascal", 100.0L, 0},
    {kMegapascal, kPressure, "MPa", "megapascal", "MPa|megapascal|megapascals", 1e6L, 0},
    {kInchMercury, kPressure, "inHg", "inch of mercury",
     "inHg|\"Hg|''Hg|inchHg|inchesHg|inchofmercury|inchesofmercury", kMillimetreMercuryPa * 25.4L,
     0},
    {kMillimetreMercury, kPressure, "mmHg", "millimetre of mercury", "mmHg", kMillimetreMercuryPa,
     0},
    {kInchWater, kPressure, "inH2O", "inch of water",
     "inH2O|\"H2O|''H2O|inwc|\"wc|inwg|inchesofwater|inchofwater|inchH2O|inchesH2O",
     kMillimetreWaterPa * 25.4L, 0},
    {kMillimetreWater, kPressure, "mmH2O", "millimetre of water", "mmH2O", kMillimetreWaterPa, 0},
    {kAtmosphere, kPressure, "atm", "standard atmosphere", "atm|atmosphere|atmospheres", 101325.0L,
     0},
    {kKilogramForcePerSquareCentimetre, kPressure, "kgf/cm²",
     "kilogram-force per square centimetre", "kgf/cm2|kg/cm2", kGravity * 1e4L, 0},

    {kVolt, kVoltage, "V", "volt", "V|volt|volts|Vdc|voltsdc|voltdc", 1.0L, 0},
    {kMillivolt, kVoltage, "mV", "millivolt", "mV|millivolt|millivolts|mVdc", 1e-3L, 0},
    {kKilovolt, kVoltage, "kV", "kilovolt", "kV|kilovolt|kilovolts", 1e3L, 0},
    {kVoltAc, kAcVoltage, "V AC", "volt, alternating", "Vac|voltsac|voltac", 1.0L, 0},
    {kMillivoltAc, kAcVoltage, "mV AC", "millivolt, alternating", "mVac|millivoltsac", 1e-3L, 0},
    {kAmpere, kCurrent, "A", "ampere", "A|amp|amps|ampere|amperes|Adc", 1.0L, 0},
    {kMilliampere, kCurrent, "mA", "milliampere", "mA|milliamp|milliamps|milliampere|milliamperes",
     1e-3L, 0},
    {kMicroampere, kCurrent, "µA", "microampere", "uA|microamp|microamps", 1e-6L, 0},
    {kOhm, kResistance, "Ω", "ohm", "ohm|ohms", 1.0L, 0},
    {kMilliohm, kResistance, "mΩ", "milliohm", "mohm|mohms|milliohm|milliohms", 1e-3L, 0},
    {kKilohm, kResistance, "kΩ", "kilohm", "kohm|kohms|kilohm|kilohms|kiloohm|kiloohms", 1e3L, 0},
    {kMegohm, kResistance, "MΩ", "megohm", "Mohm|Mohms|megohm|megohms|megaohm|megaohms", 1e6L, 0},
    {kWatt, kPower, "W", "watt", "W|watt|watts", 1.0L, 0},
    {kKilowatt, kPower, "kW", "kilowatt", "kW|kilowatt|kilowatts", 1e3L, 0},
    {kHorsepower, kPower, "hp", "horsepower", "hp|bhp|horsepower", kPoundForceN* kFootM * 550.0L,
     0},
    {kMetricHorsepower, kPower, "PS", "metric horsepower", "PS", kGravity * 75.0L, 0},
    {kAmpereHour, kCharge, "A·h", "ampere hour", "Ah|amphour|amphours", 3600.0L, 0},

    {kCelsius, kTemperature, "°C", "degree Celsius",
     "degC|C|degreesC|degreeC|Cdeg|celsius|degcelsius|degreescelsius|centigrade", 1.0L, 273.15L},
    {kFahrenheit, kTemperature, "°F", "degree Fahrenheit",
     "degF|F|degreesF|degreeF|Fdeg|fahrenheit|degfahrenheit|degreesfahrenheit", 5.0L / 9.0L,
     459.67L},
    {kKelvin, kTemperature, "K", "kelvin", "K|kelvin|kelvins", 1.0L, 0},
    {kCelsiusDifference, kTemperatureDifference, "Δ°C", "Celsius degrees of difference",
     "deltadegC|deltaC|degCdifference|degCdiff|Cdiff|Cdifference|Cdegrees", 1.0L, 0},
    {kFahrenheitDifference, kTemperatureDifference, "Δ°F", "Fahrenheit degrees of difference",
     "deltadegF|deltaF|degFdifference|degFdiff|Fdiff|Fdifference|Fdegrees", 5.0L / 9.0L, 0},

    {kMillimetre, kLength, "mm", "millimetre", "mm|millimetre|millimetres|millimeter|millimeters",
     1e-3L, 0},
    {kMicrometre, kLength, "µm", "micrometre", "um|micron|microns|micrometre|micrometres", 1e-6L,
     0},
    {kCentimetre, kLength, "cm", "centimetre", "cm|centimetre|centimetres|centimeter|centimeters",
     1e-2L, 0},
    {kMetre, kLength, "m", "metre", "m|metre|metres|meter|meters", 1.0L, 0},
    {kKilometre, kLength, "km", "kilometre", "km|kms|kilometre|kilometres|kilometer|kilometers",
     1e3L, 0},
    {kInch, kLength, "in", "inch", "in|inch|inches|\"|''", kInchM, 0},
    {kThou, kLength, "thou", "thousandth of an inch", "thou|thousandths", kInchM / 1000.0L, 0},
    {kFoot, kLength, "ft", "foot", "ft|foot|feet", kFootM, 0},
    {kMile, kLength, "mi", "mile", "mi|mile|miles", kMileM, 0},

    {kPercent, kRatio, "%", "percent", "%|percent|pct", 1e-2L, 0},
    {kPartsPerMillion, kRatio, "ppm", "parts per million", "ppm", 1e-6L, 0},

    {kSecond, kTime, "s", "second", "s|sec|secs|second|seconds", 1.0L, 0},
    {kMillisecond, kTime, "ms", "millisecond", "ms|msec|millisecond|milliseconds", 1e-3L, 0},
    {kMicrosecond, kTime, "µs", "microsecond", "us|usec|microsecond|microseconds", 1e-6L, 0},
    {kMinute, kTime, "min", "minute", "min|mins|minute|minutes", 60.0L, 0},
    {kHour, kTime, "h", "hour", "h|hr|hrs|hour|hours", 3600.0L, 0},
    {kDay, kTime, "d", "day", "d|day|days", 86400.0L, 0},

    {kKilometrePerHour, kSpeed, "km/h", "kilometre per hour", "km/h|kmh|kph|km/hr",
     1000.0L / 3600.0L, 0},
    {kMilePerHour, kSpeed, "mph", "mile per hour", "mph|mi/h", kMileM / 3600.0L, 0},
    {kMetrePerSecond, kSpeed, "m/s", "metre per second", "m/s|m/sec", 1.0L, 0},
    {kRevolutionPerMinute, kRotation, "rpm", "revolution per minute", "rpm|r/min|rev/min|revs",
     1.0L, 0},

    {kLitre, kVolume, "L", "litre", "L|ltr|litre|litres|liter|liters", 1e-3L, 0},
    {kMillilitre, kVolume, "mL", "millilitre", "mL|millilitre|millilitres|milliliter|milliliters",
     1e-6L, 0},
    {kCubicCentimetre, kVolume, "cm³", "cubic centimetre",
     "cm3|cc|ccm|cubiccentimetre|cubiccentimetres", 1e-6L, 0},
    {kUsGallon, kVolume, "US gal", "US gallon", "USgal|gal|gals|gallon|gallons|USgallon|USgallons",
     kUsGallonM3, 0},
    {kUsQuart, kVolume, "US qt", "US quart", "USqt|qt|qts|quart|quarts|USquart|USquarts",
     kUsGallonM3 / 4.0L, 0},
    {kUsPint, kVolume, "US pt", "US pint", "USpt|pt|pts|pint|pints|USpint|USpints",
     kUsGallonM3 / 8.0L, 0},
    {kUsFluidOunce, kVolume, "US fl oz", "US fluid ounce",
     "USfloz|floz|fluidounce|fluidounces|USfluidounce", kUsGallonM3 / 128.0L, 0},
    {kImperialGallon, kVolume, "imp gal", "imperial gallon",
     "impgal|UKgal|imperialgallon|imperialgallons", kImperialGallonM3, 0},
    {kImperialQuart, kVolume, "imp qt", "imperial quart", "impqt|UKqt|imperialquart|imperialquarts",
     kImperialGallonM3 / 4.0L, 0},
    {kImperialPint, kVolume, "imp pt", "imperial pint", "imppt|UKpt|imperialpint|imperialpints",
     kImperialGallonM3 / 8.0L, 0},
    {kCubicInch, kVolume, "in³", "cubic inch", "in3|cuin|cubicinch|cubicinches|cid", kCubicInchM3,
     0},

    {kLitrePerMinute, kVolumeFlow, "L/min", "litre per minute", "L/min|lpm|litresperminute",
     1e-3L / 60.0L, 0},
    {kLitrePerHour, kVolumeFlow, "L/h", "litre per hour", "L/h|L/hr|lph|litresperhour",
     1e-3L / 3600.0L, 0},
    {kMillilitrePerMinute, kVolumeFlow, "mL/min", "millilitre per minute", "mL/min|cc/min|cm3/min",
     1e-6L / 60.0L, 0},
    {kUsGallonPerMinute, kVolumeFlow, "US gal/min", "US gallon per minute", "USgal/min|gal/min|gpm",
     kUsGallonM3 / 60.0L, 0},
    {kUsGallonPerHour, kVolumeFlow, "US gal/h", "US gallon per hour", "USgal/h|gal/h|gal/hr|gph",
     kUsGallonM3 / 3600.0L, 0},
    {kCubicFootPerMinute, kVolumeFlow, "ft³/min", "cubic foot per minute", "ft3/min|cfm|cuft/min",
     kFootM* kFootM* kFootM / 60.0L, 0},
    {kCubicMetrePerHour, kVolumeFlow, "m³/h", "cubic metre per hour", "m3/h|m3/hr", 1.0L / 3600.0L,
     0},

    {kKilogram, kMass, "kg", "kilogram", "kg|kgs|kilogram|kilograms|kilo|kilos", 1.0L, 0},
    {kGram, kMass, "g", "gram", "g|gram|grams|gramme|grammes", 1e-3L, 0},
    {kMilligram, kMass, "mg", "milligram", "mg|milligram|milligrams", 1e-6L, 0},
    {kPound, kMass, "lb", "pound", "lb|lbs|pound|pounds", kPoundKg, 0},
    {kOunce, kMass, "oz", "ounce", "oz|ounce|ounces", kPoundKg / 16.0L, 0},
    {kGramPerSecond, kMassFlow, "g/s", "gram per second", "g/s|g/sec|gps|gramspersecond", 1e-3L, 0},
    {kKilogramPerHour, kMassFlow, "kg/h", "kilogram per hour", "kg/h|kg/hr", 1.0L / 3600.0L, 0},
    {kPoundPerMinute, kMassFlow, "lb/min", "pound per minute", "lb/min|lbs/min", kPoundKg / 60.0L,
     0},
    {kNewton, kForce, "N", "newton", "N|newton|newtons", 1.0L, 0},
    {kKilonewton, kForce, "kN", "kilonewton", "kN|kilonewton|kilonewtons", 1e3L, 0},
    {kPoundForce, kForce, "lbf", "pound-force", "lbf|poundforce|poundsforce", kPoundForceN, 0},
    {kKilogramForce, kForce, "kgf", "kilogram-force", "kgf|kilogramforce|kp", kGravity, 0},

    {kHertz, kFrequency, "Hz", "hertz", "Hz|hertz", 1.0L, 0},
    {kKilohertz, kFrequency, "kHz", "kilohertz", "kHz|kilohertz", 1e3L, 0},
    {kMegahertz, kFrequency, "MHz", "megahertz", "MHz|megahertz", 1e6L, 0},
    {kDegree, kAngle, "°", "degree", "deg|degree|degrees|degs", 1.0L, 0},
    {kTurn, kAngle, "turn", "turn", "turn|turns", 360.0L, 0},
    {kSpecificGravityUnit, kSpecificGravity, "SG", "specific gravity", "SG|specificgravity", 1.0L,
     0},
    {kLambdaUnit, kLambda, "λ", "lambda", "lambda", 1.0L, 0},
    {kCountUnit, kCount, "counts", "counts",
     "counts|count|pulse|pulses|click|clicks|teeth|tooth|flashes", 1.0L, 0},
}};

constexpr bool in_order() {
  for (std::size_t i = 0; i < kUnits.size(); ++i) {
    if (static_cast<std::size_t>(kUnits[i].id) != i) return false;
  }
  return true;
}
static_assert(in_order(), "the table follows the order of UnitId");

// Spellings with two meanings. Asked about, never guessed.
struct Question {
  std::string_view key;
  bool any_case;
  std::string_view what;
  std::string_view remedy;
};

constexpr std::array kQuestions = {
    Question{"MV", false, "`MV` can be millivolt or megavolt", "write mV or V"},
    Question{"MA", false, "`MA` can be milliampere or megaampere", "write mA or A"},
    Question{"MVAC", false, "`MV AC` can be millivolt or megavolt", "write mV AC or V AC"},
    Question{"MVDC", false, "`MV` can be millivolt or megavolt", "write mV or V"},
    Question{"mPa", false, "`mPa` can be millipascal or megapascal", "write MPa, kPa or Pa"},
    Question{"mpa", false, "`mpa` can be millipascal or megapascal", "write MPa, kPa or Pa"},
    Question{"mHz", false, "`mHz` can be millihertz or megahertz", "write MHz, kHz or Hz"},
    Question{"k", false, "`k` alone is a multiple, not a unit", "write kΩ, kPa or K"},
    Question{"M", false, "`M` alone is a multiple, not a unit", "write MΩ, m or min"},
    Question{"meg", true, "`meg` alone is a multiple, not a unit", "write MΩ"},
    Question{"megs", true, "`megs` alone is a multiple, not a unit", "write MΩ"},
    Question{"R", true, "`R` is not a unit here", "write Ω"},
    Question{"O", true, "`O` is not a unit here", "write Ω"},
    Question{"'", false, "`'` can be feet or minutes of angle",
             "write ft, or degrees with decimals"},
    Question{"mil", true, "`mil` can be a thousandth of an inch or a millimetre",
             "write thou or mm"},
    Question{"mils", true, "`mils` can be thousandths of an inch or millimetres",
             "write thou or mm"},
    Question{"lb/ft", true, "`lb/ft` is pounds for each foot", "write lbf·ft for a torque"},
    Question{"lbs/ft", true, "`lbs/ft` is pounds for each foot", "write lbf·ft for a torque"},
    Question{"ft/lb", true, "`ft/lb` is feet for each pound", "write lbf·ft for a torque"},
    Question{"ft/lbs", true, "`ft/lbs` is feet for each pound", "write lbf·ft for a torque"},
    Question{"lb/in", true, "`lb/in` is pounds for each inch", "write lbf·in for a torque"},
    Question{"lbs/in", true, "`lbs/in` is pounds for each inch", "write lbf·in for a torque"},
    Question{"in/lb", true, "`in/lb` is inches for each pound", "write lbf·in for a torque"},
    Question{"in/lbs", true, "`in/lbs` is inches for each pound", "write lbf·in for a torque"},
    Question{"N/m", true, "`N/m` is newtons for each metre", "write N·m for a torque"},
    Question{"psia", true, "absolute and gauge pressure are not told apart by the unit",
             "write psi, and absolute in the words"},
    Question{"bara", true, "absolute and gauge pressure are not told apart by the unit",
             "write bar, and absolute in the words"},
    Question{"kPaa", true, "absolute and gauge pressure are not told apart by the unit",
             "write kPa, and absolute in the words"},
    Question{"oz/in", true, "`oz/in` is ounces for each inch", "write ozf·in for a torque"},
    Question{"G", false, "`G` can be gram or the pull of gravity", "write g for grams"},
    Question{"H", false, "`H` is not a unit here", "write h for hours"},
    Question{"cal", true, "`cal` is not a unit here", "write the unit in full"},
};

// What is compared: the text without the signs that only join the parts of a unit.
std::string key_of(std::string_view folded) {
  std::string key;
  for (const char c : folded) {
    if (c != ' ' && c != '.' && c != '-' && c != '*' && c != '_' && c != '^') key.push_back(c);
  }
  return key;
}

template <class Visit>
void each_spelling(const Unit& one, Visit visit) {
  std::string_view rest = one.spellings;
  while (true) {
    const std::size_t bar = rest.find('|');
    visit(rest.substr(0, bar));
    if (bar == std::string_view::npos) return;
    rest.remove_prefix(bar + 1);
  }
}

// Units one of whose spellings `fits`; each once.
template <class Fits>
std::vector<const Unit*> units_where(Fits fits) {
  std::vector<const Unit*> found;
  for (const Unit& one : kUnits) {
    bool hit = false;
    each_spelling(one, [&](std::string_view spelling) { hit = hit || fits(spelling); });
    if (hit) found.push_back(&one);
  }
  return found;
}

// Whether one insertion, deletion, replacement or swap of neighbours leads from a to b.
bool one_slip_apart(std::string_view a, std::string_view b) {
  if (a.size() > b.size()) std::swap(a, b);
  if (b.size() - a.size() > 1) return false;
  std::size_t same = 0;
  while (same < a.size() && a[same] == b[same]) ++same;
  const std::string_view rest_a = a.substr(same);
  const std::string_view rest_b = b.substr(same);
  if (a.size() < b.size()) return rest_a == rest_b.substr(1);
  if (rest_a.size() >= 2 && rest_a[0] == rest_b[1] && rest_a[1] == rest_b[0] &&
      rest_a.substr(2) == rest_b.substr(2)) {
    return true;
  }
  return rest_a.empty() || rest_a.substr(1) == rest_b.substr(1);
}

std::string near_misses(const std::string& key) {
  const std::string low = scan::lowered(key);
  const std::vector<const Unit*> near = units_where([&](std::string_view spelling) {
    return spelling.size() > 1 && low.size() > 1 && one_slip_apart(low, scan::lowered(spelling));
  });
  std::string out;
  for (std::size_t i = 0; i < near.size() && i < 3; ++i) {
    if (i > 0) out += " or ";
    out += near[i]->symbol;
  }
  return out;
}

bool has_lower_case(std::string_view text) {
  return std::any_of(text.begin(), text.end(), [](char c) { return c >= 'a' && c <= 'z'; });
}

}  // namespace

const Unit& unit(UnitId id) { return kUnits[static_cast<std::size_t>(id)]; }

std::size_t unit_count() { return kUnits.size(); }

const Unit& unit_at(std::size_t i) { return kUnits[i]; }

std::string_view dimension_name(Dimension dimension) {
  switch (dimension) {
    case kTorque:
      return "torque";
    case kPressure:
      return "pressure";
    case kVoltage:
      return "voltage";
    case kAcVoltage:
      return "AC voltage";
    case kCurrent:
      return "current";
    case kResistance:
      return "resistance";
    case kPower:
      return "power";
    case kCharge:
      return "charge";
    case kTemperature:
      return "temperature";
    case kTemperatureDifference:
      return "temperature difference";
    case kLength:
      return "length";
    case kRatio:
      return "ratio";
    case kTime:
      return "time";
    case kSpeed:
      return "speed";
    case kRotation:
      return "engine speed";
    case kVolume:
      return "volume";
    case kVolumeFlow:
      return "volume flow";
    case kMass:
      return "mass";
    case kMassFlow:
      return "mass flow";
    case kForce:
      return "force";
    case kFrequency:
      return "frequency";
    case kAngle:
      return "angle";
    case kSpecificGravity:
      return "specific gravity";
    case kLambda:
      return "lambda";
    case kCount:
      return "count";
  }
  return "quantity";
}

namespace scan {

// Three passes, from strict to lenient: as spelled; the first letter's case kept (it carries milli
// and mega) and the rest any case; any case at all. Capitals throughout tell nothing about the
// first letter, so they skip the second pass. Two units left over is a question.
Parsed<const Unit*> unit_within(const Folded& folded, std::size_t from, std::size_t to) {
  const std::string_view typed = trimmed(folded.view().substr(from, to - from));
  const std::size_t at = skip_blanks(folded.view(), from);
  const std::string remedy = "write a unit such as N·m, kPa, V, Ω, °C or mm";
  if (typed.empty()) return refuse(folded, at, "the unit is missing", remedy);
  if (typed.size() > 64) return refuse(folded, at, "the unit is not known", remedy);
  const char head = typed.front();
  if (!is_letter(head) && head != '%' && head != '"' && head != '\'') {
    return refuse(folded, at, "the unit " + quoted(typed) + " is not known", remedy);
  }
  if (typed.back() == '-' || typed.back() == '*' || typed.back() == '^' || typed.back() == '_') {
    return refuse(folded, at, "the unit " + quoted(typed) + " is not finished", remedy);
  }
  const std::string key = key_of(typed);
  const std::string low = lowered(key);
  for (const Question& question : kQuestions) {
    if (question.any_case ? lowered(question.key) == low : question.key == key) {
      return refuse(folded, at, std::string(question.what), std::string(question.remedy));
    }
  }
  std::vector<const Unit*> found =
      units_where([&](std::string_view spelling) { return spelling == key; });
  if (found.empty() && has_lower_case(key)) {
    found = units_where([&](std::string_view spelling) {
      return spelling.front() == key.front() && lowered(spelling) == low;
    });
  }
  if (found.empty()) {
    found = units_where([&](std::string_view spelling) { return lowered(spelling) == low; });
  }
  if (found.size() == 1) return found.front();
  if (found.empty()) {
    const std::string near = near_misses(key);
    return refuse(folded, at, "the unit " + quoted(typed) + " is not known",
                  near.empty() ? remedy : "did you mean " + near + "?");
  }
  std::string symbols;
  for (const Unit* one : found) {
    if (!symbols.empty()) symbols += " or ";
    symbols += one->symbol;
  }
  return refuse(folded, at, quoted(typed) + " can be read in two ways", "write " + symbols);
}

}  // namespace scan

Parsed<const Unit*> read_unit(std::string_view typed) {
  const Parsed<scan::Folded> folded = scan::fold(typed, 64);
  if (value_in(folded) == nullptr) return reason_in(folded);
  const scan::Folded& plain = *value_in(folded);
  return scan::unit_within(plain, 0, plain.text.size());
}

const Unit* find_unit(std::string_view typed) {
  const Parsed<const Unit*> read = read_unit(typed);
  const Unit* const* found = value_in(read);
  return found != nullptr ? *found : nullptr;
}

}  // namespace baylore::trade
