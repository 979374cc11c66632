// Which leather: from the household, the look and the work to a kind, a thickness and what
// to ask the seller for.
//
// All advice comes out of one table of rules (advice_rules). A rule that holds gives points
// for or against kinds and grains, and a reason that is always shown with them. Sources stand
// in the table; the points are ours. Plain split is never advised for a seat.
#pragma once

#include "base/text.h"
#include "base/units.h"
#include "buying/household.h"
#include "buying/leather.h"

#include <stdbool.h>

/// What a rule looks at.
typedef enum AdviceSubject {
    ABOUT_SUN,
    ABOUT_PETS,
    ABOUT_CHILDREN,
    ABOUT_SPILLS,
    ABOUT_MARKS,       ///< a MarksLook
    ABOUT_WEAR,        ///< pets, children and spills: the greatest of them
    ABOUT_TIGHT_FOLDS, ///< notches, corners or edges of small radius: 1, else 0
    ADVICE_SUBJECT_COUNT
} AdviceSubject;

/// Points that rules give are -3 to 3: 1 a little, 2 much, 3 nearly decides.
typedef struct AdviceRule {
    AdviceSubject about;
    int least;        ///< the rule holds when its subject is at least this
    int most;         ///< and at most this
    const char *when; ///< `sun daily`
    int kind[LEATHER_KIND_COUNT];
    int grain[LEATHER_GRAIN_COUNT];
    const char *reason;
    const char *source;
} AdviceRule;

enum { ADVICE_RULE_COUNT = 14 };
extern const AdviceRule advice_rules[ADVICE_RULE_COUNT];

/// The work that the leather is put to on one seat.
typedef struct AdviceSeat {
    const char *name;
    bool notched;
    double corner_radius_mm; ///< the least of corners that are not notched; -1: has none
    double edge_radius_mm;   ///< of the padding's upper edge
    double layers_mm;        ///< what lies over the sides beneath the leather
    double clearance_mm;     ///< each side, board to rail; -1: not measured
} AdviceSeat;

/// Corners and edges rounder than this are no tight folds. Source: common practice.
#define TIGHT_CORNER_MM 12.0
#define TIGHT_EDGE_MM 6.0

/// Layers of leather at a folded corner, at most; and the room that a seat needs to drop in
/// beside them. Source: common practice.
enum { CORNER_LEATHERS_MAX = 3 };
#define DROP_IN_MM 0.8
/// What to leave when the clearance was not measured: at least 3/16 in for the thickness of
/// materials, more for leather (E. A. Johnson, Furniture Upholstery for Schools, 1919, ch. IV);
/// 3/16 to 1/4 in (M. Teague, Slip Seat Upholstery, 2010).
#define CLEARANCE_USUAL_MM 4.7625

/// How thick the leather may be on one seat.
typedef struct ThicknessCheck {
    double straight_max_mm; ///< between the corners, one layer; may be negative: no room
    double corner_max_mm;   ///< at a folded corner, three layers
    double needed_mm;       ///< clearance for the leather that is wanted, at a corner
    double needed_straight_mm;
    double clearance_mm; ///< that there is, or the usual one
    bool measured;       ///< else against the usual clearance
    bool fits;           ///< the wanted leather, at the corners too
    bool fits_straight;  ///< between the corners
} ThicknessCheck;

/// Result   clearance - layers - DROP_IN_MM, for one or three leathers; and back.
ThicknessCheck thickness_check(const AdviceSeat *seat, double leather_mm);

/// The greatest thickness there is room for, rounded down to a tenth: `2.9 oz (1.1 mm)`, `no room`.
const char *leather_at_most_text(double mm, LeatherUnit unit, Arena *keep);

/// Lengths finer than a tape reads: `0.25 in (6.3 mm)`, `6.3 mm`.
const char *layers_text(double mm, LengthUnit unit, Arena *keep);

/// `fits`, `too tight at the corners`, `too tight all round`.
const char *thickness_room_text(const ThicknessCheck *check);

/// What to do where it is too tight.
extern const char thickness_remedy[];
/// What to do where the clearance was not measured.
extern const char clearance_remedy[];

typedef struct AdviceQuestion {
    Household household;
    LeatherWish wish;
    double leather_mm; ///< as wanted
    const AdviceSeat *seats;
    int seat_count;
} AdviceQuestion;

typedef struct Advice {
    int level[ADVICE_SUBJECT_COUNT];
    bool holds[ADVICE_RULE_COUNT];
    int score[LEATHER_KIND_COUNT];
    LeatherKind order[LEATHER_KIND_COUNT]; ///< best first
    LeatherKind kind;                      ///< advised
    int grain_score[LEATHER_GRAIN_COUNT];
    LeatherGrain grain;
    double thickness_min_mm; ///< advised
    double thickness_max_mm; ///< never less than the least
    bool no_room;            ///< at the corners of some seat not even the least thickness has room
    bool heavy;              ///< the leather wanted is thicker than advised
    bool light;              ///< or thinner
} Advice;

/// Usual range of leather for furniture, and what narrows it.
/// Source   0.9 to 1.2 mm: The Leather Dictionary, entry on thickness; the others are common
///          practice.
#define THICKNESS_LEAST_MM 0.9
#define THICKNESS_MOST_MM 1.2
#define THICKNESS_LEAST_WEAR_MM 1.0 ///< where the seats are worn daily
#define THICKNESS_MOST_FOLDS_MM 1.1 ///< round notches and tight corners

/// Answers the question. Kinds with equal points: the one that is wanted, then the one that
/// wears better, as in LeatherKind. Aniline and nubuck show the grain as it is, so their grain is
/// full.
Advice leather_advise(const AdviceQuestion *question);

/// The tables of rules and of values to ask for, as Markdown.
void advice_markdown(Text *text);

/// What the law may ask about fire: general, dated in itself, and no legal advice.
enum { FIRE_CAUTION_COUNT = 3 };
extern const char *const fire_cautions[FIRE_CAUTION_COUNT];

/// What to look out for with any leather.
enum { LEATHER_CAUTION_COUNT = 3 };
extern const char *const leather_cautions[LEATHER_CAUTION_COUNT];
