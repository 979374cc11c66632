// The search's picture of a task: for each piece in each of its turns, the places
// where it cannot lie.
//
// A sheet's places are a grid of cells; a pose at a place has the lower left corner of
// its box on the cell's lower left corner. Shapes are stretches on bands
// (layout/bands.h) a few times finer than cells. Alike pieces share one shape; a shape
// has a pose for each turn that is tried. The blocked places of a pose among laid
// pieces are the union of those of the bare sheet and, shifted to each laid piece, those
// of the pair; both are made when first asked for.
#pragma once

#include "layout/bands.h"
#include "layout/bitmap.h"
#include "layout/field.h"
#include "layout/layout.h"

enum {
    GAPS_MAX = 4,  ///< different gaps; a fifth counts as the next wider one
    COST_STEP = 4, ///< cells between two costs that are looked up
};

/// One shape in one turn. Lattice units from the lower left corner of its box, which
/// is `corner` from the piece's own origin.
typedef struct Pose {
    double turn_rad;
    double off_middle; ///< 0 in the middle of its interval, 1 at the ends
    LatticePoint corner;
    LatticePoint size;
    int cells_wide; ///< that the box reaches into
    int cells_high;
    bool finds_room; ///< its box is no larger than some sheet's; else the rest is empty
    int gap;         ///< of the piece itself, index of the model's gaps
    int depth_count;
    Parts outline[LAYOUT_DEPTHS];
    Parts stamp[GAPS_MAX]; ///< what it takes from others: outline 0 grown by each gap
    Box deepest;           ///< of the deepest outline, in mm from the box's corner
} Pose;

typedef struct Shape {
    int first_pose;
    int pose_count;
    int piece; ///< one that has this shape
} Shape;

/// A piece laid on cells.
typedef struct Laid {
    int piece;
    int sheet;
    int pose;
    int column;
    int row;
    double cost; ///< 0 to 1, 1 the highest of all fields
} Laid;

/// Cells of a sheet, all counted in.
typedef struct CellBox {
    int left;
    int low;
    int right;
    int high;
} CellBox;

typedef struct SheetMap {
    LatticePoint corner; ///< lower left of its box
    LatticePoint size;
    int gap;                       ///< of the sheet, index of the model's gaps
    Parts obstacle[LAYOUT_DEPTHS]; ///< off the sheet or forbidden
    Parts taken[GAPS_MAX];         ///< what already lies there, grown by each gap
    FieldSums field;
    CellBox window; ///< only places where a piece touches these cells are asked for
} SheetMap;

/// Where one pose may lie on one sheet, as far as the window lets it be seen.
typedef struct Places {
    Bitmap bare;    ///< blocked without the laid pieces
    Bitmap blocked; ///< blocked now; bits behind the last column may be anything
    CellBox open;   ///< holds all that is not blocked in `bare`
    int first_row;  ///< within the window
    int last_row;
    int first_word;
    int last_word;
    float *cost; ///< for each COST_STEP-th place; NULL without a field
    int cost_columns;
    bool made;
    bool none;      ///< no free place is left in this round
    int applied;    ///< so many of the laid pieces are in `blocked`
    uint64_t round; ///< of the layout that `blocked` belongs to
} Places;

/// Places of a row, both ends counted in. Small, since a search reads millions.
typedef struct ColumnSpan {
    int16_t from;
    int16_t to;
} ColumnSpan;

enum { COLUMNS_MAX = 30000 };

/// Places that a laid piece blocks for a pose, counted from the laid piece's own.
typedef struct Pair {
    ColumnSpan *first; ///< [rows]: the first span of each row; NULL: not made yet
    int *begin;        ///< [rows + 1]: where each row's further spans begin; NULL: none has
    ColumnSpan *further;
    int first_row;
    int rows;
    ColumnSpan all; ///< holds all spans
} Pair;

/// What one pose blocks for each other.
typedef struct PairRow {
    Pair *pairs; ///< NULL: not asked for yet
} PairRow;

/// Steps of counted work in one unit: about one second of a laptop's core.
static const double steps_in_unit = 1.6e9;
/// The first layout takes what it takes, but no more than this: with thousands of points in
/// thousands of places it would take minutes.
static const double first_steps = 2e10;

typedef struct Work {
    double done; ///< steps of about half a nanosecond
    double reported;
    double limit;
    double most; ///< with so much done even the first layout ends; 0: it never does
    const Progress *progress;
    bool stopped;
} Work;

typedef struct Model {
    const LayoutTask *task;
    int cell; ///< lattice units
    int bands_in_cell;
    double highest_cost; ///< of all fields
    int gaps[GAPS_MAX];  ///< lattice units, ascending
    int gap_count;
    Shape *shapes;
    int shape_count;
    int *shape_of; ///< piece -> shape
    Pose *poses;
    int pose_count;
    SheetMap *sheets;
    Places *places; ///< [sheet * pose_count + pose]
    PairRow *pairs; ///< [gap * pose_count + laid pose]
    bool keeps;     ///< places and pairs find room to be kept
    bool borrows;   ///< poses and pairs are those of another model
    Arena *lasting; ///< of poses and pairs
    void *spans;    ///< room for those of one row of a pair (layout/place_pairs.c)
    Laid *laid;
    int laid_count;
    uint64_t round;
    Work work;
    Arena *arena;
    ArenaMark question; ///< nothing kept: where the answer to a question begins
} Model;

/// Adds to the counted work and reports now and then. False: stop.
bool work_add(Work *work, double steps);

/// Whether nothing more may be asked: stopped, or more done than even the first layout may.
static inline bool work_is_over(const Work *work)
{
    return work->stopped || (work->most > 0 && work->done >= work->most);
}

/// A piece that lies on a sheet and stays.
typedef struct Taken {
    int sheet;
    const Piece *piece;
    Motion motion;
} Taken;

/// What of the task the model shall see; layout_what_holds() asks for less.
typedef struct ModelView {
    bool bare; ///< leave out the forbidden areas
    const Taken *taken;
    int taken_count;
} ModelView;

/// The coarsest cells that do for a task, in lattice units: about 10 mm for a whole
/// hide. They divide all measures of a task of pieces in whole steps, so that exact
/// fits stay exact. Halved, they keep what was laid on them.
int model_coarse_cell(const LayoutTask *task);

/// Whether maps of all sheets with such cells find room, and all outlines on their bands.
bool model_finds_room(const LayoutTask *task, int cell);

/// Whether any cells do; else there are too many points in too many turns. In a part of a task
/// that does, they do.
bool model_ever_finds_room(const LayoutTask *task);

/// Makes the model. What the caller puts into `arena` later is lost: the answers to
/// questions may lie there.
void model_make(const LayoutTask *task, ModelView view, int cell, Work work, Arena *arena,
                Model *model);

/// Makes a model with the pieces of another that is kept, whose cell it has. Sheets and laid
/// pieces are its own, poses and pairs are shared: pairs that it makes stay with the other one and
/// are no work, so that the answers do not depend on who asked before. The gaps of the sheets
/// must be among those of the other model's task, and no pose larger than all of that one's sheets.
/// The sheets' maps are left to the caller: model_begin_sheet() and `obstacle` of each, then
/// model_begin_questions().
void model_make_on(const Model *pieces, const LayoutTask *task, Work work, Arena *arena,
                   Model *model);

/// Gives a sheet's map its measures. Returns what its obstacles are gathered in.
Outlining model_begin_sheet(Model *model, int index, LatticeRing outline, Arena *scratch);

void model_begin_questions(Model *model);

/// The shapes and poses of the task's pieces, for model_make().
void model_make_poses(Model *model, Arena *scratch);

/// Room for the spans of one row of any pair, once the poses are made.
void model_make_spans(Model *model);

/// The index of the least of the model's gaps that is no less.
int model_gap_index(const Model *model, double gap_mm);

/// Begins a new layout: nothing laid but what is taken, windows as wide as the sheets.
void model_clear(Model *model);
void model_lay(Model *model, Laid laid);
/// After model_clear(): from now on only places of `sheet` that touch `window` count.
void model_look_at(Model *model, int sheet, CellBox window);
/// The cells that a laid piece's box touches.
CellBox model_cells(const Model *model, Laid laid);

/// The places of a pose on a sheet, as blocked now; NULL when none is free. Valid until
/// the next question. Who finds none free sets `none`.
Places *model_places(Model *model, int sheet, int pose);

Motion model_motion(const Model *model, Laid laid);
