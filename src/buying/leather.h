// Kinds of leather for a seat, and what to ask the seller of each.
//
// Words: EN 15987 and EN 16223-1 (furniture). Values to ask for: EN 13336 as Decision
// (EU) 2016/1332, Appendix II, states them for furniture leather.
#pragma once

/// Finish of the grain side. Plain split is none of these: it is never for a seat.
typedef enum LeatherKind {
    LEATHER_PIGMENTED,    ///< an opaque coat of pigment: wears best, feels least
    LEATHER_SEMI_ANILINE, ///< dyed through, with a thin coat
    LEATHER_ANILINE,      ///< dyed through, no covering coat: softest, marks and fades
    LEATHER_NUBUCK,       ///< grain buffed to a nap, no coat
    LEATHER_KIND_COUNT
} LeatherKind;
extern const char *const leather_kind_names[LEATHER_KIND_COUNT];
extern const char *const leather_kind_meanings[LEATHER_KIND_COUNT];

typedef enum LeatherGrain {
    GRAIN_FULL,      ///< the grain as the animal wore it, with its marks
    GRAIN_CORRECTED, ///< lightly buffed to take marks away, then finished
    LEATHER_GRAIN_COUNT
} LeatherGrain;
extern const char *const leather_grain_names[LEATHER_GRAIN_COUNT];

/// What is wanted of the leather.
typedef struct LeatherWish {
    int kind;       ///< LeatherKind, or -1: open
    int grain;      ///< LeatherGrain, or -1: open
    double comfort; ///< how sure the buyer wants to be that it is enough: 0.5 to 0.99
} LeatherWish;

/// One value to ask the seller for.
typedef struct LeatherTest {
    const char *property;                  ///< `colour fastness to rubbing, wet felt`
    const char *method;                    ///< `EN ISO 11640`
    const char *meaning;                   ///< what it says of daily life
    const char *least[LEATHER_KIND_COUNT]; ///< `80 cycles, grey scale 3/4 or better`; NULL: not
                                           ///< asked of this kind
} LeatherTest;

enum { LEATHER_TEST_COUNT = 11 };

/// Source   EN 13336 as given in Decision (EU) 2016/1332, Appendix II. The decision merges
///          the cells of semi-aniline and coated leather for dry rub and adhesion; the
///          merged value stands in both.
extern const LeatherTest leather_tests[LEATHER_TEST_COUNT];
extern const char *const leather_tests_source;
