#include "plane/motion.h"

MotionMatrix motion_matrix(Motion motion)
{
    const double quarter = 1.5707963267948966;
    const double quarters = motion.turn_rad / quarter;
    // cos(pi/2) is 6e-17 in doubles; a quarter turn must map a grid onto itself.
    if (fabs(quarters - round(quarters)) < 1e-12) {
        static const double cosines[4] = {1, 0, -1, 0};
        static const double sines[4] = {0, 1, 0, -1};
        const int lap = (int)fmod(round(quarters), 4);
        const int turn = lap < 0 ? lap + 4 : lap;
        return (MotionMatrix){cosines[turn], sines[turn], motion.x_mm, motion.y_mm};
    }
    return (MotionMatrix){cos(motion.turn_rad), sin(motion.turn_rad), motion.x_mm, motion.y_mm};
}
