// The parts of the finish that its files share.
#pragma once

#include "layout/cuts.h"
#include "layout/drag.h"
#include "layout/finish.h"
#include "layout/measure.h"
#include "layout/room.h"

/// What is left of a sheet, on cells.
typedef struct CellsLeft {
    double rectangle_mm2;
    double part_mm2;
    int parts;
    Point middle; ///< of the rectangle
} CellsLeft;

typedef struct Finish {
    const LayoutTask *task;
    LayoutWish order[LAYOUT_WISH_COUNT];
    int order_count;
    int stage; ///< index into `order`
    Room *room;
    Placement *placements;
    int count;
    Placement *trial; ///< what a move would make of them; alike where `changed` is not set
    bool *changed;
    bool *out;                           ///< lifted off while a move looks for places
    Runs *stamps;                        ///< of each placement
    Runs *bodies;                        ///< of each placement
    double *costs;                       ///< of each placement
    double *offs;                        ///< of each placement: turn off the middle
    CellsLeft *left;                     ///< of each sheet
    StraightEdges *edges;                ///< of each piece, unmoved
    int edge_count;                      ///< of all placements
    double *cuts_mm;                     ///< of each sheet: what is shared, cuts_worth_mm()
    double value[LAYOUT_WISH_COUNT];     ///< of the placements, by wish; less is better
    double bound[LAYOUT_WISH_COUNT];     ///< by wish; held for those before the stage
    double tolerance[LAYOUT_WISH_COUNT]; ///< by wish
    const Point *centres;                ///< of each piece, unmoved
    Box *boxes;                          ///< of each sheet
    bool *used;                          ///< of each sheet: something lay on it in the beginning
    double size_mm;
    double highest_cost;
    int useful_cells;
    bool any_partners;
    double own_words;
    double limit; ///< of the stage
    double limit_of_all;
    double reported;
    const Progress *progress;
    bool stopped;
    Arena *arena; ///< what lives as long as it
    Arena *scratch;
} Finish;

/// Makes it ready, its values known. What is made goes into `arena`.
Finish *finish_begin(const LayoutTask *task, Placement *placements, int count, Arena *arena,
                     Arena *scratch);

/// What progress reports call it.
extern const char *const finish_doing;

/// Work counted so far.
double finish_words(const Finish *finish);

/// Reports now and then. False: no more work in this stage, or stopped.
bool finish_goes_on(Finish *finish);

/// Whether a wish stands before the stage's own and so has a bound.
bool finish_is_held(const Finish *finish, LayoutWish wish);

/// The mean turn off the middle that no change may exceed: the bound, or before there is one
/// the present value, so that nothing is tilted only to be turned straight again; without end
/// when straight is no wish.
double finish_most_off_rad(const Finish *finish);

/// Whether the trial keeps all bounds, and its stage's value is below `below`; then *value.
bool finish_weigh(Finish *finish, double below, double *value);

/// What the trial is worth to the stage's own wish.
double finish_own_value(Finish *finish);

/// The value that is better enough than the present one.
double finish_aspired(const Finish *finish);

/// Takes the trial when it is better, else forgets it. True when it was taken.
bool finish_try(Finish *finish);

/// Makes the trial's changes the present state.
void finish_take(Finish *finish);
/// Forgets them.
void finish_forget(Finish *finish);

enum { CANDIDATES = 16 };

/// A place found for a piece; the least score is tried first.
typedef struct Candidate {
    Placement placement;
    double score;
} Candidate;

typedef struct Candidates {
    Candidate items[CANDIDATES];
    int count;
} Candidates;

/// A rule for laying all pieces anew: towards a corner, with some weight for the cost.
typedef struct Corner {
    double along_x;
    double along_y;
    double cost;
} Corner;

/// Free places of a lifted piece among the trial's others, the most promising first: by what the
/// stage asks for, or by a rule when `corner` is given.
Candidates finish_places(Finish *finish, int index, const Corner *corner);

/// Where the centre of a piece lies.
Point finish_centre(const Finish *finish, int piece, Motion motion);

/// A piece's change in the trial.
void finish_change(Finish *finish, int index, Placement placement);

/// The turns worth trying: the present one, the middles of the intervals, half way out and the
/// ends, as far as finish_most_off_rad() and the others' turns leave room for them.
enum { FINISH_TURNS = 5 * LAYOUT_TURNS_MAX + 1 };
int finish_turns(const Finish *finish, int index, double most_off_rad, double *turns_rad);

/// Exact questions about the trial; they hold until it changes.
typedef struct Hand {
    Finish *finish;
    Drag *drag;
    ArenaMark mark;
} Hand;

Hand hand_on(Finish *finish);
void hand_off(Hand hand);
/// Whether the judge would let a placement lie so.
bool hand_lies(Hand hand, int index, Motion motion);

/// Lays pieces so that straight edges face each other at the gap, or follow each other on one
/// line. True when that helped.
bool finish_snap(Finish *finish);

/// Tries all moves of the stage until none helps.
void finish_moves(Finish *finish);

/// Pushes all pieces together, towards each corner in turn. True when that helped.
bool finish_press(Finish *finish);

/// Turns tilted pieces straight and pushes others out of their way. True when that helped.
bool finish_straighten(Finish *finish);

/// Slides pieces that lie within a few cells of others, or of the edge, against them.
void finish_close_up(Finish *finish);
