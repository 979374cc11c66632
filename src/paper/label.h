// Labels that keep off each other: each takes the best of some places, and what has
// been placed stays. Greedy, in the order of the calls: the most important first.
#pragma once

#include "paper/page.h"

/// A line that labels had better not cross.
typedef struct BoardLine {
    Point from;
    Point to;
    double cost; ///< for each label that it crosses
} BoardLine;

/// A cost at or above which a place is no good.
#define LABEL_REFUSED 1000.0

typedef struct LabelBoard {
    Arena *keep;
    Box room; ///< labels stay within
    Box *taken;
    int taken_count;
    int taken_capacity;
    BoardLine *lines;
    int line_count;
    int line_capacity;
} LabelBoard;

/// A label at a place: the middle of its box.
typedef struct Label {
    const char *text;
    double size_mm;
    bool bold;
} Label;

LabelBoard board_create(Box room, Arena *keep);
void board_take(LabelBoard *board, Box box);
void board_line(LabelBoard *board, Point from, Point to, double cost);
/// All edges of a ring, its curves as few straight ones.
void board_ring(LabelBoard *board, Ring ring, double cost);

/// Whether a point lies in a taken box.
bool board_taken_at(const LabelBoard *board, Point point);

/// Whether a line meets no taken box.
bool board_clear(const LabelBoard *board, Point from, Point to);

/// Box of a label around a middle, with a little air.
Box label_box(Label label, Point middle);

/// Takes the cheapest of some middles (the first among equals) by the lines crossed;
/// `extra`, when given, is added for each. Refused are places that meet a taken box,
/// leave the room, or cost LABEL_REFUSED or more. False when all are.
bool board_place(LabelBoard *board, Label label, const Point *middles, const double *extra,
                 int count, Point *middle);

/// Draws a placed label.
void label_draw(Drawing *drawing, DrawLayer layer, Label label, Point middle);
