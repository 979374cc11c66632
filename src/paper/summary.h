// Sections of the summary that are long enough to stand by themselves.
#pragma once

#include "paper/table.h"

/// Seats and covers: sizes and areas.
void summary_seats(Flow *flow);

/// What flat rules would have given on each side, against what is needed.
void summary_rules(Flow *flow);

/// Whether an earlier cover already says the same: chairs that were corrected a little
/// need not repeat their kind.
bool summary_repeats(const PackMatter *matter, int demand);

/// Each seat cut through at the front, to scale, with the leather's lengths.
void summary_sections(Flow *flow);

/// How far the hands may stretch each cover: extra grip to expect.
void summary_stretch(Flow *flow);

/// Doubts about the measures, if any.
void summary_doubts(Flow *flow);

/// Dangers of the work and rules of law, dated.
void summary_cautions(Flow *flow);
