#pragma once
// The members of each kind, written once for both directions. A visitor has
//   need(name, member)        facts part, must be there
//   fact(name, member)        facts part, left out when empty
//   priv(name, member)        private part, left out when empty
//   priv_when(flag, name, m)  private part, there if and only if `flag`
//   group(name, member)       facts part, an object of its own
//   warnings(w)               numbers and lines in facts, their texts (which may quote the recording) in private
//   reject(sentence)          the value just read cannot be
// The names are the format (docs/formats/book.md): never change one, only add.
#include <string>

#include "core/book/facts.h"

namespace headroom::members {

template <class V>
void members(V& v, MachineRegistered& x) {
  v.fact("assumed", x.assumed);
  v.priv("name", x.private_name);
}
template <class V>
void members(V& v, PilotRegistered& x) {
  v.fact("assumed", x.assumed);
  v.fact("mass_kg", x.mass);
  v.priv("name", x.private_name);
}
template <class V>
void members(V& v, PartRegistered& x) {
  v.need("role", x.role);
  v.fact("made", x.made);
  v.fact("bought", x.bought);
  v.fact("running_before_s", x.running_before);
  v.fact("air_before_s", x.air_before);
  v.fact("ground_handling_before_s", x.ground_handling_before);
  v.fact("launches_before", x.launches_before);
  v.fact("assumed", x.assumed);
  v.priv("name", x.private_name);
}
template <class V>
void members(V& v, PartFitted& x) {
  v.need("part", x.part);
  v.need("machine", x.machine);
}
template <class V>
void members(V& v, PartRemoved& x) {
  v.need("part", x.part);
  v.priv("reason", x.private_reason);
}
template <class V>
void members(V& v, ServiceLineSet& x) {
  v.need("line", x.line);
  v.fact("title", x.title);
  v.fact("role", x.role);
  v.fact("running_s", x.running);
  v.fact("air_s", x.air);
  v.fact("calendar_s", x.calendar);
  v.fact("launches", x.launches);
  v.fact("reserve", x.reserve);
  v.fact("dropped", x.dropped);
  v.fact("basis", x.basis);
}
template <class V>
void members(V& v, ServiceDone& x) {
  v.need("line", x.line);
  v.fact("part", x.part);
  v.priv("note", x.private_note);
}
template <class V>
void members(V& v, CounterRead& x) {
  v.fact("part", x.part);
  v.need("counter", x.counter);
  v.need("value", x.value);
  std::string unit = x.counter == Counter::launches ? "1" : "s";
  v.need("unit", unit);
  if (unit != "1" && unit != "s") v.reject("the unit of a counter is \"s\" or \"1\"");
}
template <class V>
void members(V& v, Reading& x) {
  v.need("quantity", x.quantity);
  v.need("value", x.value);
  v.need("unit", x.unit);
  v.fact("part", x.part);
}
template <class V>
void members(V& v, PlugRead& x) {
  v.need("colour", x.colour);
  v.fact("wet", x.wet);
  v.fact("mixture", x.mixture);
}
template <class V>
void members(V& v, RecordingAttached& x) {
  v.need("recording", x.recording);
  v.fact("bytes", x.bytes);
  v.fact("format", x.format);
  v.fact("fixes", x.fixes);
  v.fact("lines", x.lines);
  v.fact("simulated", x.simulated);
  v.warnings(x.warnings);
  v.priv("file_name", x.private_file_name);
}
// Positions of a summary belong to the private part of the entry that holds it.
template <class V>
void members(V& v, FlightSummary& x) {
  v.fact("air_time_s", x.air_time);
  v.fact("track_length_m", x.track_length);
  v.fact("farthest_distance_m", x.farthest_distance);
  v.fact("launch_height_m", x.launch_height);
  v.fact("landing_height_m", x.landing_height);
  v.fact("highest_m", x.highest);
  v.fact("lowest_m", x.lowest);
  v.fact("highest_pressure_altitude_m", x.highest_pressure);
  v.fact("lowest_pressure_altitude_m", x.lowest_pressure);
  v.fact("height_gained_m", x.height_gained);
  v.fact("climb_5_m_s", x.climb_5);
  v.fact("climb_50_m_s", x.climb_50);
  v.fact("climb_95_m_s", x.climb_95);
  v.fact("ground_speed_50_m_s", x.ground_speed_50);
  v.fact("ground_speed_95_m_s", x.ground_speed_95);
  v.fact("ground_speed_highest_m_s", x.ground_speed_highest);
}
template <class V>
void members(V& v, FlightEntry& x) {
  v.fact("recording", x.recording);
  v.need("machine", x.machine);
  v.need("pilot", x.pilot);
  v.need("launch", x.launch);
  v.need("landing", x.landing);
  v.fact("begins_in_air", x.begins_in_air);
  v.fact("ends_in_air", x.ends_in_air);
  v.need("air_time_s", x.air_time);
  v.fact("running_time", x.running_time);
  v.fact("launches", x.launches);
  v.fact("analysis_version", x.analysis_version);
  v.group("measures", x.summary);
  v.fact("measured", x.measures);
  v.fact("doubts", x.doubts);
  v.priv_when(x.has_positions, "launch_position", x.private_launch);
  v.priv_when(x.has_positions, "landing_position", x.private_landing);
  v.priv("farthest_position", x.summary.farthest_point);
  v.priv("path", x.private_path);
}
template <class V>
void members(V& v, Remeasured& x) {
  v.need("flight", x.flight);
  v.fact("analysis_version", x.analysis_version);
  v.group("measures", x.summary);
  v.fact("measured", x.measures);
  v.priv("farthest_position", x.summary.farthest_point);
}
template <class V>
void members(V& v, EngineRun& x) {
  v.need("machine", x.machine);
  v.need("running_s", x.running);
  v.priv("note", x.private_note);
}
template <class V>
void members(V& v, GroundHandling& x) {
  v.need("machine", x.machine);
  v.need("duration_s", x.duration);
}
template <class V>
void members(V& v, FuelMixed& x) {
  v.need("fuel_m3", x.fuel);
  v.fact("ratio", x.ratio);
  v.fact("oil_m3", x.oil);
  v.priv("note", x.private_note);
}
template <class V>
void members(V& v, FuelFilled& x) {
  v.need("added_m3", x.added);
  v.fact("in_tank_after_m3", x.in_tank_after);
}
template <class V>
void members(V& v, FuelLeft& x) {
  v.need("left_m3", x.left);
}
template <class V>
void members(V& v, Finding& x) {
  v.need("grounding", x.grounding);
  v.fact("part", x.part);
  v.priv("text", x.private_text);
}
template <class V>
void members(V& v, FindingClosed& x) {
  v.need("finding", x.finding);
  v.priv("text", x.private_text);
}
template <class V>
void members(V& v, Alteration& x) {
  v.need("area", x.area);
  v.fact("part", x.part);
  v.priv("text", x.private_text);
}
template <class V>
void members(V& v, MoneySpent& x) {
  v.priv("cents", x.private_cents);
  v.priv("currency", x.private_currency);
  v.priv("what", x.private_what);
}
template <class V>
void members(V& v, DrillPractised& x) {
  v.need("drill", x.drill);
  v.priv("note", x.private_note);
}
template <class V>
void members(V& v, RunMeasured& x) {
  v.need("machine", x.machine);
  v.need("pilot", x.pilot);
  v.need("room_m", x.room);
  v.fact("steps", x.steps);
  v.fact("headwind_m_s", x.headwind);
  v.fact("temperature_K", x.temperature);
  v.fact("height_m", x.height);
  v.fact("slope", x.slope);
  v.fact("surface", x.surface);
  v.fact("all_up_kg", x.all_up);
  v.fact("wheels", x.wheels);
  v.priv("note", x.private_note);
}
template <class V>
void members(V& v, FieldDescribed& x) {
  v.fact("same_as", x.same_as);
  v.fact("height_m", x.height);
  v.fact("strips", x.strips);
  v.priv("name", x.private_name);
  v.priv("landable", x.private_landable);
  v.priv("photo", x.private_photo);
  v.priv("position", x.private_position);
  v.priv("text", x.private_text);
}
template <class V>
void members(V& v, CheckDone& x) {
  v.need("check", x.check);
  v.need("state", x.state);
}
template <class V>
void members(V& v, Setting& x) {
  v.need("name", x.name);
  v.need("value", x.value);
}
template <class V>
void members(V& v, Note& x) {
  v.priv("text", x.private_text);
}
template <class V>
void members(V& v, PhotoAttached& x) {
  v.need("photo", x.photo);
  v.fact("bytes", x.bytes);
  v.fact("of", x.of);
  v.priv("text", x.private_text);
}
template <class V>
void members(V& v, Voided& x) {
  v.need("entry", x.entry);
  v.priv("reason", x.private_reason);
}

}  // namespace headroom::members
