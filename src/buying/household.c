#include "buying/household.h"

const char *const often_names[OFTEN_COUNT] = {"never", "at times", "daily"};
const char *const marks_names[MARKS_COUNT] = {"accepted", "welcome", "unwelcome"};
