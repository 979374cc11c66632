#include "cutting/cutting.h"

const char *tolerance_word(Tolerance tolerance)
{
    return tolerance == NO_BAND ? "none" : band_names[tolerance];
}

// Common practice, thought through flaw by flaw in docs/tolerance.md.
ToleranceTable tolerance_defaults(void)
{
    return (ToleranceTable){
        .flaw =
            {
                [FLAW_HOLE] = NO_BAND,
                [FLAW_FLAY_CUT] = BAND_GRIP,
                [FLAW_BRAND] = BAND_TURN,
                [FLAW_OPEN_SCAR] = BAND_GRIP,
                [FLAW_GRUB_HOLES] = BAND_TURN,
                [FLAW_SCAR] = BAND_EDGE,
                [FLAW_TICKS] = BAND_FACE,
                [FLAW_VEINS] = BAND_FACE,
                [FLAW_WRINKLE] = BAND_FACE,
                [FLAW_LOOSE_GRAIN] = BAND_TURN,
                [FLAW_STRETCHED] = BAND_TURN,
                [FLAW_STAIN] = BAND_TURN,
                [FLAW_THIN] = BAND_GRIP,
            },
        .margin_mm =
            {
                [FLAW_HOLE] = 10,
                [FLAW_FLAY_CUT] = 10,
                [FLAW_BRAND] = 10,
                [FLAW_OPEN_SCAR] = 5,
                [FLAW_GRUB_HOLES] = 5,
                [FLAW_STAIN] = 5,
                [FLAW_THIN] = 10,
            },
        .firmness =
            {
                [FIRM] = BAND_FACE,
                [MIDDLING] = BAND_FACE,
                [SOFT] = BAND_TURN,
                [LOOSE] = BAND_GRIP,
            },
        .rim = BAND_GRIP,
        .rim_mm = 10,
    };
}
