// The best place for one piece of a strip among all others.
#pragma once

#include "layout/separate.h"

/// The spot with the least weighted overlap that is found, and never worse than where the
/// copy lies.
///
/// Method   on the grid, the sum of the depths of all others for all places at once. Blocks
///          of places are ruled out by the sum of their least depths (branch and bound), so
///          that the best place on the grid is found, in each turn. The best few are then
///          refined in whole units by descent.
Spot seek_spot(Strip *strip, int copy);
