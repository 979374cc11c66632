#include "base/laws.h"

#include <assert.h>
#include <math.h>

enum { TERMS = 8, POISSON_MEAN_MAX = 500, POISSON_MAX = 2000 };

// Coefficients of rational approximations, highest power first.
typedef struct Fraction {
    double above[TERMS];
    double below[TERMS];
} Fraction;

static const Fraction middle_part = {
    {2.5090809287301226727e+3, 3.3430575583588128105e+4, 6.7265770927008700853e+4,
     4.5921953931549871457e+4, 1.3731693765509461125e+4, 1.9715909503065514427e+3,
     1.3314166789178437745e+2, 3.3871328727963666080e+0},
    {5.2264952788528545610e+3, 2.8729085735721942674e+4, 3.9307895800092710610e+4,
     2.1213794301586595867e+4, 5.3941960214247511077e+3, 6.8718700749205790830e+2,
     4.2313330701600911252e+1, 1.0}};

static const Fraction near_tail = {
    {7.74545014278341407640e-4, 2.27238449892691845833e-2, 2.41780725177450611770e-1,
     1.27045825245236838258e+0, 3.64784832476320460504e+0, 5.76949722146069140550e+0,
     4.63033784615654529590e+0, 1.42343711074968357734e+0},
    {1.05075007164441684324e-9, 5.47593808499534494600e-4, 1.51986665636164571966e-2,
     1.48103976427480074590e-1, 6.89767334985100004550e-1, 1.67638483018380384940e+0,
     2.05319162663775882187e+0, 1.0}};

static const Fraction far_tail = {
    {2.01033439929228813265e-7, 2.71155556874348757815e-5, 1.24266094738807843860e-3,
     2.65321895265761230930e-2, 2.96560571828504891230e-1, 1.78482653991729133580e+0,
     5.46378491116411436990e+0, 6.65790464350110377720e+0},
    {2.04426310338993978564e-15, 1.42151175831644588870e-7, 1.84631831751005468180e-5,
     7.86869131145613259100e-4, 1.48753612908506148525e-2, 1.36929880922735805310e-1,
     5.99832206555887937690e-1, 1.0}};

static double fraction_at(const Fraction *fraction, double x)
{
    double above = 0;
    double below = 0;
    for (int i = 0; i < TERMS; i++) {
        above = above * x + fraction->above[i];
        below = below * x + fraction->below[i];
    }
    return above / below;
}

double normal_quantile(double share)
{
    const double off = share - 0.5;
    if (fabs(off) <= 0.425) {
        return off * fraction_at(&middle_part, 0.180625 - off * off);
    }
    const double tail = sqrt(-log(off < 0 ? share : 1 - share));
    const double size =
        tail <= 5 ? fraction_at(&near_tail, tail - 1.6) : fraction_at(&far_tail, tail - 5);
    return off < 0 ? -size : size;
}

// 0 < result < 1.
static double open_share(Random *random)
{
    return fmax(random_share(random), 0x1p-54);
}

double random_normal(Random *random)
{
    return normal_quantile(open_share(random));
}

double random_normal_within(Random *random, double most)
{
    assert(most > 0);
    const double beyond = 0.5 * erfc(most * sqrt(0.5));
    return normal_quantile(beyond + (1 - 2 * beyond) * open_share(random));
}

double random_gamma(Random *random, double shape)
{
    assert(shape > 0);
    // Below 1 the method does not work; gamma(shape + 1) times share^(1 / shape) does.
    const double raised = shape < 1 ? shape + 1 : shape;
    const double boost = shape < 1 ? pow(open_share(random), 1 / shape) : 1;
    const double d = raised - 1.0 / 3;
    const double c = 1 / sqrt(9 * d);
    for (;;) {
        const double z = random_normal(random);
        const double share = open_share(random);
        const double v = (1 + c * z) * (1 + c * z) * (1 + c * z);
        if (v > 0 && log(share) < 0.5 * z * z + d - d * v + d * log(v)) {
            return d * v * boost / shape;
        }
    }
}

int random_poisson(Random *random, double mean)
{
    assert(mean >= 0 && mean <= POISSON_MEAN_MAX);
    double rest = random_share(random);
    double chance = exp(-mean);
    int count = 0;
    // The bound is only met where rounding leaves a trace of the share over.
    while (rest >= chance && count < POISSON_MAX) {
        rest -= chance;
        count++;
        chance *= mean / count;
    }
    return count;
}

int random_count(Random *random, double mean, double dispersion)
{
    const double luck = dispersion > 0 ? random_gamma(random, dispersion) : 1;
    return random_poisson(random, fmin(mean * luck, POISSON_MEAN_MAX));
}
