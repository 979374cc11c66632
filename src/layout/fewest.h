// All pieces on the fewest or cheapest sheets of a stock.
#pragma once

#include "layout/layout.h"

/// LAYOUT_FEWEST_SHEETS, on a sound task: layout_search() with one sheet at a time, over
/// and over.
///
/// Result   of all layouts that hold all pieces, the cheapest found; when none holds them all,
///          the most value found on the whole stock.
/// Method   one sheet after the other, those that cost the least for their size first; then
///          sets of sheets that cost less, from the best layout: one or two sheets of the set
///          are cleared and filled anew with their own and the missing pieces, and a piece
///          that stays missing becomes dearer. One sheet as a knapsack with prices on the
///          pieces: Baldacci, Boschetti, Ganovelli and Maniezzo 2014; prices that grow on what
///          is left over are a plain form of their multipliers.
MUST_CHECK bool fewest_run(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                           Arena *keep, Arena *scratch, Layout *layout, Problems *problems);
