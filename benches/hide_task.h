// Hides and their pieces as sheets and pieces of the layout engine.
#pragma once

#include "hide_files.h"
#include "layout/layout.h"

typedef enum HideFlaws {
    HIDE_FLAWS_ALL,     ///< qualities 0 to 2 forbidden to every piece, 3 to none
    HIDE_FLAWS_CLASSES, ///< each part of a piece keeps off what is worse than it may contain
} HideFlaws;

/// The hide with its areas to keep off. In classes, those of quality d stand at depth d.
///
/// Errors   areas whose union cannot be made.
MUST_CHECK bool hide_sheet(const RealHide *hide, HideFlaws flaws, Arena *keep, Sheet *sheet,
                           Problems *problems);

/// The pieces, worth their area, in turns of 0 and 180 degrees, each 10 degrees either way.
///
/// Result   in classes, outline d covers what must keep off quality d: all that may not
///          contain it. Where that is not one outline without holes, a larger one that is:
///          holes are filled; several parts get their convex hull within the piece.
MUST_CHECK bool hide_pieces(const HideProblem *problem, HideFlaws flaws, Arena *keep, Piece *pieces,
                            Problems *problems);
