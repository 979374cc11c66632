// The table of advice: read it from left to right, argue with it here.
//
// Points for pigmented, semi-aniline, aniline, nubuck; then for full and corrected grain.
// They are our judgement; what a reason rests on stands in the last column.
#include "buying/advise.h"

#define DECISION "Decision (EU) 2016/1332, Appendix II"
#define TRADE_TEXT "FIRA, text on leather types"
#define PRACTICE "common practice"

// One rule, one paragraph.
// clang-format off
const AdviceRule advice_rules[ADVICE_RULE_COUNT] = {
    {ABOUT_WEAR, NEVER, DAILY, "always",
     {-1,  0,  1,  1}, { 0,  0},
     "the less coat, the softer and warmer to sit on",
     TRADE_TEXT},
    {ABOUT_WEAR, NEVER, NEVER, "nothing wears the seats",
     { 0,  0,  1,  0}, { 0,  0},
     "in a quiet room bare leather keeps its looks",
     PRACTICE},
    {ABOUT_SUN, AT_TIMES, AT_TIMES, "sun at times",
     { 1,  1, -1, -1}, { 0,  0},
     "bare leather fades first: blue scale 5, 4 and 3 are asked of pigmented, semi-aniline and bare",
     DECISION},
    {ABOUT_SUN, DAILY, DAILY, "sun daily",
     { 2,  0, -3, -3}, { 0,  0},
     "bare leather fades first: blue scale 5, 4 and 3 are asked of pigmented, semi-aniline and bare",
     DECISION},
    {ABOUT_PETS, AT_TIMES, AT_TIMES, "pets at times",
     { 1,  1, -1, -2}, { 0,  0},
     "scratches show least in a coat, which can be touched up",
     PRACTICE},
    {ABOUT_PETS, DAILY, DAILY, "pets daily",
     { 2,  1, -2, -3}, { 0,  0},
     "scratches show least in a coat, which can be touched up",
     PRACTICE},
    {ABOUT_CHILDREN, AT_TIMES, AT_TIMES, "children at times",
     { 1,  1, -1, -2}, { 0,  0},
     "hands must be wiped off: 250, 80 and 20 wet rubs are asked of pigmented, semi-aniline and bare",
     DECISION},
    {ABOUT_CHILDREN, DAILY, DAILY, "children daily",
     { 2,  1, -2, -3}, { 0,  0},
     "hands must be wiped off: 250, 80 and 20 wet rubs are asked of pigmented, semi-aniline and bare",
     DECISION},
    {ABOUT_SPILLS, AT_TIMES, AT_TIMES, "spills at times",
     { 1,  1, -1, -2}, { 0,  0},
     "bare leather drinks what is spilt before it can be wiped up",
     TRADE_TEXT},
    {ABOUT_SPILLS, DAILY, DAILY, "spills daily",
     { 2,  1, -3, -3}, { 0,  0},
     "bare leather drinks what is spilt before it can be wiped up",
     TRADE_TEXT},
    {ABOUT_MARKS, MARKS_ACCEPTED, MARKS_ACCEPTED, "marks accepted",
     { 0,  0,  0,  0}, { 1,  0},
     "nothing has to be buffed away, and an untouched grain is the stronger",
     PRACTICE},
    {ABOUT_MARKS, MARKS_WELCOME, MARKS_WELCOME, "marks welcome",
     {-2,  1,  2,  1}, { 2, -2},
     "an opaque coat hides what you want to see, and buffing takes it away",
     TRADE_TEXT},
    {ABOUT_MARKS, MARKS_UNWELCOME, MARKS_UNWELCOME, "marks unwelcome",
     { 2,  0, -3, -2}, {-1,  2},
     "marks show through a clear finish; corrected grain has them buffed away",
     TRADE_TEXT},
    {ABOUT_TIGHT_FOLDS, 1, 1, "notches, tight corners or sharp edges",
     {-1,  0,  1,  0}, { 1,  0},
     "a heavy coat cracks first where it is folded tightly; ask for its flexing value",
     PRACTICE},
};
// clang-format on
