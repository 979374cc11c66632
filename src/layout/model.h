// The search's picture of a task: sheets as maps of cells, pieces as masks, and for
// each piece in each of its turns the places where it cannot lie.
//
// Alike pieces share one shape. A shape has a pose for each turn that is tried. The
// blocked places of a pose among laid pieces are the OR of those of the bare sheet
// and, shifted to each laid piece, those of the pair; both are made when first asked
// for. When there are too many pairs to hold, they are found on the map instead.
#pragma once

#include "layout/field.h"
#include "layout/layout.h"
#include "layout/raster.h"

/// One shape in one turn. Cells are counted from the lower left of `width` x `height`.
typedef struct Pose {
    double turn_rad;
    double off_middle; ///< 0 in the middle of its interval, 1 at the ends
    int left;          ///< of the cells, from the piece's own origin
    int low;
    int width;
    int height;
    Runs mask[LAYOUT_DEPTHS]; ///< cells that an outline needs
    int depth_count;
    Runs stamp;     ///< cells that it takes from others: grown by the gap
    int margin;     ///< the stamp begins so many cells to the left and below
    Bitmap stamped; ///< the stamp as a map
    Box deepest;    ///< of the deepest outline, from the piece's own origin
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
    int column; ///< of the pose's lower left cell
    int row;
    double cost; ///< 0 to 1, 1 the highest of all fields
} Laid;

typedef struct SheetMap {
    Grid grid;
    Bitmap map[LAYOUT_DEPTHS]; ///< set: off the sheet, forbidden or taken
    Spread spread[LAYOUT_DEPTHS];
    bool used[LAYOUT_DEPTHS]; ///< the map has anything that this depth must keep off
    FieldSums field;
} SheetMap;

enum { COST_STEP = 4 }; ///< cells between two costs that are looked up

/// Where one pose may lie on one sheet.
typedef struct Places {
    Bitmap bare;    ///< blocked without the other pieces
    Bitmap blocked; ///< blocked now
    float *cost;    ///< for each COST_STEP-th place; NULL without a field
    int cost_columns;
    bool made;
    int applied;    ///< so many of the laid pieces are in `blocked`
    uint64_t round; ///< of the layout that `blocked` belongs to
} Places;

typedef struct Work {
    double done; ///< words and places looked at
    double reported;
    double limit;
    const Progress *progress;
    bool stopped;
} Work;

typedef struct Model {
    const LayoutTask *task;
    double cell_mm;
    double gap_mm;
    double highest_cost; ///< of all fields
    Shape *shapes;
    int shape_count;
    int *shape_of; ///< piece -> shape
    Pose *poses;
    int pose_count;
    SheetMap *sheets;
    Places *places; ///< [sheet * pose_count + pose]
    Bitmap *pairs;  ///< [laid pose * pose_count + pose]; NULL: found on the map instead
    Laid *laid;
    int laid_count;
    uint64_t round;
    Work work;
    Arena *arena;
    ArenaMark question; ///< without kept pairs: where the answer to a question begins
} Model;

/// Adds to the counted work and reports now and then. False: stop.
bool work_add(Work *work, double words);

/// An outline that lies on a sheet and stays.
typedef struct Taken {
    int sheet;
    Ring outline;
} Taken;

/// What of the task the model shall see; layout_what_holds() asks for less.
typedef struct ModelView {
    bool bare; ///< leave out the forbidden areas
    const Taken *taken;
    int taken_count;
} ModelView;

/// The coarsest cells that do for a task: about 9 mm for a whole hide. Halved, any
/// number of times, they keep what was laid on them.
double model_coarse_cell_mm(const LayoutTask *task);

/// Whether maps of all sheets with such cells find room.
bool model_finds_room(const LayoutTask *task, double cell_mm);

/// Makes the model. What the caller puts into `arena` later is lost: the answers to
/// questions may lie there.
void model_make(const LayoutTask *task, ModelView view, double cell_mm, Work work, Arena *arena,
                Model *model);

/// The shapes and poses of the task's pieces, for model_make().
void model_make_poses(Model *model);

/// Begins a new layout: nothing laid but what is taken.
void model_clear(Model *model);
void model_lay(Model *model, Laid laid);

/// The places of a pose on a sheet, as blocked now. Valid until the next question.
const Places *model_places(Model *model, int sheet, int pose);

Motion model_motion(const Model *model, Laid laid);

/// Cells of a pose's own origin from the sheet's corner: the same place in a model of
/// half the cells is at twice these.
void model_origin(const Model *model, Laid laid, int *column, int *row);
