#pragma once

#include <cstddef>
#include <string_view>

#include "trade/parsed.h"

namespace baylore::trade {

// What a unit measures. Two units convert into each other only within one dimension.
enum class Dimension {
  kTorque,
  kPressure,
  kVoltage,    // direct current
  kAcVoltage,  // kept apart: 0.3 V of ripple is not 0.3 V of drop
  kCurrent,
  kResistance,
  kPower,
  kCharge,
  kTemperature,            // a point on the scale: 30 °C is 86 °F
  kTemperatureDifference,  // a step on the scale: 30 °C more is 54 °F more
  kLength,
  kRatio,  // percent, parts per million
  kTime,
  kSpeed,
  kRotation,
  kVolume,
  kVolumeFlow,
  kMass,
  kMassFlow,
  kForce,
  kFrequency,
  kAngle,
  kSpecificGravity,
  kLambda,  // air-fuel ratio over the stoichiometric one
  kCount,   // pulses, clicks, teeth: whole things that are counted
};

// Every unit Baylore knows, in the order of the table in unit.cc.
enum class UnitId {
  // torque
  kNewtonMetre,
  kPoundForceFoot,
  kPoundForceInch,
  kKilogramForceMetre,
  kKilogramForceCentimetre,
  kOunceForceInch,
  kNewtonCentimetre,
  // pressure; gauge or absolute is for the words around it to say
  kKilopascal,
  kPsi,
  kBar,
  kMillibar,
  kPascal,
  kHectopascal,
  kMegapascal,
  kInchMercury,
  kMillimetreMercury,
  kInchWater,
  kMillimetreWater,
  kAtmosphere,
  kKilogramForcePerSquareCentimetre,
  // electrical
  kVolt,
  kMillivolt,
  kKilovolt,
  kVoltAc,
  kMillivoltAc,
  kAmpere,
  kMilliampere,
  kMicroampere,
  kOhm,
  kMilliohm,
  kKilohm,
  kMegohm,
  kWatt,
  kKilowatt,
  kHorsepower,
  kMetricHorsepower,
  kAmpereHour,
  // temperature
  kCelsius,
  kFahrenheit,
  kKelvin,
  kCelsiusDifference,
  kFahrenheitDifference,
  // length
  kMillimetre,
  kMicrometre,
  kCentimetre,
  kMetre,
  kKilometre,
  kInch,
  kThou,
  kFoot,
  kMile,
  // ratio
  kPercent,
  kPartsPerMillion,
  // time
  kSecond,
  kMillisecond,
  kMicrosecond,
  kMinute,
  kHour,
  kDay,
  // speed and rotation
  kKilometrePerHour,
  kMilePerHour,
  kMetrePerSecond,
  kRevolutionPerMinute,
  // volume
  kLitre,
  kMillilitre,
  kCubicCentimetre,
  kUsGallon,
  kUsQuart,
  kUsPint,
  kUsFluidOunce,
  kImperialGallon,
  kImperialQuart,
  kImperialPint,
  kCubicInch,
  // volume flow
  kLitrePerMinute,
  kLitrePerHour,
  kMillilitrePerMinute,
  kUsGallonPerMinute,
  kUsGallonPerHour,
  kCubicFootPerMinute,
  kCubicMetrePerHour,
  // mass, mass flow, force
  kKilogram,
  kGram,
  kMilligram,
  kPound,
  kOunce,
  kGramPerSecond,
  kKilogramPerHour,
  kPoundPerMinute,
  kNewton,
  kKilonewton,
  kPoundForce,
  kKilogramForce,
  // frequency, angle, plain numbers with a name
  kHertz,
  kKilohertz,
  kMegahertz,
  kDegree,
  kTurn,
  kSpecificGravityUnit,
  kLambdaUnit,
  kCountUnit,
};

// One unit. Every Unit lives in one constant table, so addresses may be compared and kept.
struct Unit {
  UnitId id;
  Dimension dimension;
  std::string_view symbol;     // as shown: `N·m`, `lbf·ft`, `°C` (UTF-8)
  std::string_view name;       // in words: `newton metre`
  std::string_view spellings;  // what people type, `|` between; letters, digits, / " ' % only
  // base = (value + offset) * scale. The base of each dimension is the coherent SI unit (angle:
  // degree; rotation: rpm). long double, so that 120 lbf·in is 10 lbf·ft to the last digit of a
  // double.
  long double scale;
  long double offset;
};

// The unit of that id. Never fails.
const Unit& unit(UnitId id);

// How many units there are, and the i-th of them (i < unit_count()), for lists and tests.
std::size_t unit_count();
const Unit& unit_at(std::size_t i);

// The word for a dimension in a sentence: "torque", "pressure", "voltage".
std::string_view dimension_name(Dimension dimension);

// The unit somebody typed: `ft-lb`, `N.m`, `"Hg`, `ohms`, `KPA`. Spaces, dots, dashes and raised
// dots between the parts do not matter; the case matters only where it tells milli from mega.
// nullptr when unknown or when it can be read in two ways; read_unit() says why.
const Unit* find_unit(std::string_view typed);

// The same with the reason: unknown unit (with near misses named), or the question to settle
// (`MOHM`: milli or mega?). Any bytes are accepted; texts above 64 bytes are refused.
Parsed<const Unit*> read_unit(std::string_view typed);

}  // namespace baylore::trade
