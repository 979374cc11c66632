// The household that the chairs stand in, as far as leather minds.
#pragma once

typedef enum Often { NEVER, AT_TIMES, DAILY, OFTEN_COUNT } Often;
extern const char *const often_names[OFTEN_COUNT]; ///< never, at times, daily

/// Natural marks: healed scars, veins, wrinkles, changes of shade.
typedef enum MarksLook { MARKS_ACCEPTED, MARKS_WELCOME, MARKS_UNWELCOME, MARKS_COUNT } MarksLook;
extern const char *const marks_names[MARKS_COUNT]; ///< accepted, welcome, unwelcome

typedef struct Household {
    Often sun; ///< on the seats
    Often pets;
    Often children;
    Often spills;
    MarksLook marks;
} Household;
