// Parts of documents that several of them have alike: docs/json.md. Private to the module.
#pragma once

#include "plan/plan.h"

/// `problems`: a list of all, each with where, found, allowed and remedy.
void put_problems(Json *json, const Problems *problems);
/// `good`, `mistakes`, `doubts` and `problems`.
void put_check(Json *json, const Problems *problems);
/// Points of a ring or a chain, as pairs of mm.
void put_points(Json *json, const char *key, Ring points, int decimals);
/// A ring, to a hundredth of the lattice.
void put_ring(Json *json, const char *key, Ring ring);
/// For each band everything up to and including it.
void put_bands(Json *json, const char *key, const Ring *within);
/// A cover as in `covers --json`.
void put_cover(Json *json, const CoverDemand *demand);
/// Backbone, outline, regions and flaws of a hide.
void put_hide_shape(Json *json, const Hide *hide);
/// A hide as derive has it: name, form, areas and how they compare, shape.
void put_derived_hide(Json *json, const char *key, const Hide *hide);
/// One of `placements`: what asked_layout_read() takes.
void put_laid(Json *json, const Derived *derived, const Placement *placement);
/// `touches` of a placed cover.
void put_touches(Json *json, const PlacedCover *placed, const Hide *hide);
/// `left`: what is left of a hide.
void put_left(Json *json, const Remnant *left, double useful_mm);
/// `changes`: what of the job's document makes a change that does, as `where` and `value`; null
/// takes it away. In the order in which they must be made.
void put_fit_changes(Json *json, const Derived *derived, const FitAnswer *answer);
/// What neighbours on one hide share, by the name of `straight_cuts`.
void put_straight_cuts(Json *json, SharedCuts cuts, double least_mm);
