#include "prop.h"

#include <math.h>
#include <string.h>

#ifdef PROP_FLOAT
#define SQRT sqrtf
#define COS cosf
#define SIN sinf
#define FABS fabsf
#define FLOOR floorf
#else
#define SQRT sqrt
#define COS cos
#define SIN sin
#define FABS fabs
#define FLOOR floor
#endif

#define R(x) ((prop_real)(x))
#define RAD_PER_DEG R(0.017453292519943295)

/* ---- Filters ------------------------------------------------------------------------------------------------------ */

#if PROP_SMOOTHING == PROP_BUTTERWORTH || PROP_IMPACT_IS_HEARD
/* Transposed direct form II. */
static prop_real cascade_step(prop_cascade *f, const prop_real (*c)[5], int sections, prop_real x)
{
    prop_real y = x;
    for (int k = 0; k < sections; ++k) {
        const prop_real u = y;
        prop_real *z = &f->z[2 * k];
        y = c[k][0] * u + z[0];
        z[0] = c[k][1] * u - c[k][3] * y + z[1];
        z[1] = c[k][2] * u - c[k][4] * y;
    }
    return y;
}

/* The state after an endless input of x. */
static void cascade_prime(prop_cascade *f, const prop_real (*c)[5], int sections, prop_real x)
{
    prop_real u = x;
    for (int k = 0; k < sections; ++k) {
        prop_real *z = &f->z[2 * k];
        const prop_real y = (u * (c[k][0] + c[k][1] + c[k][2])) / (1 + c[k][3] + c[k][4]);
        z[1] = c[k][2] * u - c[k][4] * y;
        z[0] = c[k][1] * u - c[k][3] * y + z[1];
        u = y;
    }
}
#endif

#if PROP_SMOOTHING == PROP_BUTTERWORTH
static const prop_real smoothing_sections[PROP_SMOOTHING_SECTIONS][5] = PROP_SMOOTHING_COEFFICIENTS;
#endif

static void smoother_prime(prop_smoother *s, prop_real x)
{
#if PROP_SMOOTHING == PROP_BUTTERWORTH
    cascade_prime(&s->cascade, smoothing_sections, PROP_SMOOTHING_SECTIONS, x);
#elif PROP_SMOOTHING == PROP_FIRST_ORDER
    s->y = x;
#elif PROP_SMOOTHING == PROP_MOVING_AVERAGE
    for (int k = 0; k < PROP_SMOOTHING_SAMPLES; ++k) s->window[k] = x;
    s->at = 0;
    s->sum = PROP_SMOOTHING_SAMPLES * x;
    s->lap_sum = 0;
#elif PROP_SMOOTHING == PROP_MEDIAN
    for (int k = 0; k < PROP_SMOOTHING_SAMPLES; ++k) s->window[k] = s->sorted[k] = x;
    s->at = 0;
#else
    (void)x;
#endif
    s->is_primed = true;
}

#if PROP_SMOOTHING == PROP_MEDIAN
/* The oldest value leaves the sorted row, the newest moves to where it belongs. */
static prop_real median_step(prop_smoother *s, prop_real x)
{
    const int n = PROP_SMOOTHING_SAMPLES;
    const prop_real oldest = s->window[s->at];
    int k = 0;
    s->window[s->at] = x;
    s->at = s->at + 1 == n ? 0 : s->at + 1;
    while (s->sorted[k] != oldest) ++k;
    for (; k + 1 < n && s->sorted[k + 1] < x; ++k) s->sorted[k] = s->sorted[k + 1];
    for (; k > 0 && s->sorted[k - 1] > x; --k) s->sorted[k] = s->sorted[k - 1];
    s->sorted[k] = x;
    return n % 2 == 1 ? s->sorted[n / 2] : (s->sorted[n / 2 - 1] + s->sorted[n / 2]) / 2;
}
#endif

/* The first sample after a reset counts as having always been there. NaN gives NaN and leaves no trace. */
static prop_real smoother_step(prop_smoother *s, prop_real x)
{
    if (isnan(x)) return x;
    if (!s->is_primed) smoother_prime(s, x);
#if PROP_SMOOTHING == PROP_BUTTERWORTH
    return cascade_step(&s->cascade, smoothing_sections, PROP_SMOOTHING_SECTIONS, x);
#elif PROP_SMOOTHING == PROP_FIRST_ORDER
    s->y += R(PROP_SMOOTHING_ALPHA) * (x - s->y);
    return s->y;
#elif PROP_SMOOTHING == PROP_MOVING_AVERAGE
    s->sum += x - s->window[s->at];
    s->lap_sum += x;
    s->window[s->at] = x;
    if (++s->at == PROP_SMOOTHING_SAMPLES) { /* the error never exceeds that of one lap's additions */
        s->at = 0;
        s->sum = s->lap_sum;
        s->lap_sum = 0;
    }
    return s->sum / PROP_SMOOTHING_SAMPLES;
#elif PROP_SMOOTHING == PROP_MEDIAN
    return median_step(s, x);
#else
    return x;
#endif
}

/* ---- Bias at rest ------------------------------------------------------------------------------------------------- */

static bool rest_bias_is_rest(const prop_rest_bias *b)
{
    for (int k = 0; k < 6; ++k) {
        const prop_real mean = b->sum[k] / PROP_REST_BIAS_SAMPLES;
        const prop_real most = k < 3 ? R(PROP_REST_GYRO_DPS) : R(PROP_REST_ACCEL_G);
        if (!(b->squares[k] / PROP_REST_BIAS_SAMPLES - mean * mean <= most * most)) return false;
        if (k < 3 && !(FABS(b->first[k] + mean) <= R(PROP_REST_MOST_DPS))) return false;
    }
    return true;
}

/* The mean rate of the last second in which rates and force hardly changed. */
static void rest_bias_step(prop_state *p, const prop_real value[6])
{
    prop_rest_bias *b = &p->rest_bias;
    for (int k = 0; k < 6; ++k) {
        if (!isnan(value[k])) continue;
        b->count = 0;
        return;
    }
    if (b->count == 0) {
        memset(b, 0, sizeof *b);
        for (int k = 0; k < 6; ++k) b->first[k] = value[k];
    }
    for (int k = 0; k < 6; ++k) {
        const prop_real d = value[k] - b->first[k];
        b->sum[k] += d;
        b->squares[k] += d * d;
    }
    if (++b->count < PROP_REST_BIAS_SAMPLES) return;
    b->count = 0;
    if (!rest_bias_is_rest(b)) return;
    for (int k = 0; k < 3; ++k) p->bias_dps[k] = b->first[k] + b->sum[k] / PROP_REST_BIAS_SAMPLES;
}

/* ---- Which way is up ---------------------------------------------------------------------------------------------- */

/* v' = q v q*. */
static void rotate(const prop_real q[4], const prop_real v[3], prop_real out[3])
{
    const prop_real tx = 2 * (q[2] * v[2] - q[3] * v[1]);
    const prop_real ty = 2 * (q[3] * v[0] - q[1] * v[2]);
    const prop_real tz = 2 * (q[1] * v[1] - q[2] * v[0]);
    out[0] = v[0] + q[0] * tx + q[2] * tz - q[3] * ty;
    out[1] = v[1] + q[0] * ty + q[3] * tx - q[1] * tz;
    out[2] = v[2] + q[0] * tz + q[1] * ty - q[2] * tx;
}

/* turned <- turned * exp(v / 2), v in radians; the series are exact to the last bit where they are used. */
static void turn_by(prop_real q[4], const prop_real v[3])
{
    const prop_real h2 = (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]) / 4;
    prop_real c, s, x, y, z, r[4], scale;
    if (h2 < R(0.01)) {
        c = 1 - (h2 / 2) * (1 - (h2 / 12) * (1 - (h2 / 30) * (1 - (h2 / 56) * (1 - h2 / 90))));
        s = 1 - (h2 / 6) * (1 - (h2 / 20) * (1 - (h2 / 42) * (1 - h2 / 72)));
    } else {
        const prop_real half = SQRT(h2);
        c = COS(half);
        s = SIN(half) / half;
    }
    x = R(0.5) * v[0] * s;
    y = R(0.5) * v[1] * s;
    z = R(0.5) * v[2] * s;
    r[0] = q[0] * c - q[1] * x - q[2] * y - q[3] * z;
    r[1] = q[0] * x + q[1] * c + q[2] * z - q[3] * y;
    r[2] = q[0] * y - q[1] * z + q[2] * c + q[3] * x;
    r[3] = q[0] * z + q[1] * y - q[2] * x + q[3] * c;
    scale = 1 / SQRT(r[0] * r[0] + r[1] * r[1] + r[2] * r[2] + r[3] * r[3]);
    for (int k = 0; k < 4; ++k) q[k] = r[k] * scale;
}

/* The mean force in the frame that the rates carry: at first the plain mean, then a Butterworth low-pass of second order,
   as two integrators, which single precision bears where the direct form does not. */
static void average_force(prop_orientation *o, const prop_real force_g[3])
{
    prop_real size2 = 0;
    if (o->samples == 0) for (int k = 0; k < 3; ++k) o->mean_g[k] = o->mean_slope[k] = 0;
    ++o->samples;
    for (int k = 0; k < 3; ++k) {
        if (o->samples > PROP_ORIENTATION_START_SAMPLES) {
            const prop_real d = force_g[k] - o->mean_g[k];
            const prop_real v1 = R(PROP_ORIENTATION_A1) * o->mean_slope[k] + R(PROP_ORIENTATION_A2) * d;
            const prop_real v2 =
                o->mean_g[k] + R(PROP_ORIENTATION_A2) * o->mean_slope[k] + R(PROP_ORIENTATION_A3) * d;
            o->mean_slope[k] = 2 * v1 - o->mean_slope[k];
            o->mean_g[k] = 2 * v2 - o->mean_g[k];
            o->filtered_g[k] = v2;
        } else {
            o->mean_g[k] += (force_g[k] - o->mean_g[k]) / (prop_real)o->samples;
            o->filtered_g[k] = o->mean_g[k];
        }
        size2 += o->filtered_g[k] * o->filtered_g[k];
    }
    if (!(SQRT(size2) > R(PROP_ORIENTATION_LEAST_G))) return;
    for (int k = 0; k < 3; ++k) o->up[k] = o->filtered_g[k] / SQRT(size2);
}

/* Rates in deg/s without bias and force in g, prop frame; gives the specific force at rest, a unit vector, prop frame. */
static void orientation_step(prop_orientation *o, const prop_real g[3], const prop_real a[3], prop_real up[3])
{
    const prop_real half = RAD_PER_DEG / R(PROP_RATE_HZ) / 2;
    prop_real v[3], force[3], back[4], before[3];
    if (isnan(g[0] + g[1] + g[2])) {
        memcpy(up, o->last_up, sizeof o->last_up);
        return;
    }
    if (o->samples > 0) {
        for (int k = 0; k < 3; ++k) v[k] = (g[k] + o->last_dps[k]) * half;
        turn_by(o->turned, v);
    }
    for (int k = 0; k < 3; ++k) o->last_dps[k] = g[k];

    /* The change of the sensor's own speed about the turning point is what a swing adds to the force. */
    v[0] = 0;
    v[1] = R(PROP_ARM_G_PER_DPS) * g[2];
    v[2] = -R(PROP_ARM_G_PER_DPS) * g[1];
    memcpy(before, o->sensor_speed, sizeof before);
    rotate(o->turned, v, o->sensor_speed);

    if (!isnan(a[0] + a[1] + a[2])) {
        rotate(o->turned, a, force);
        if (o->samples > 0) for (int k = 0; k < 3; ++k) force[k] -= o->sensor_speed[k] - before[k];
        average_force(o, force);
    }
    back[0] = -o->turned[0];
    for (int k = 1; k < 4; ++k) back[k] = o->turned[k];
    rotate(back, o->up, o->last_up);
    memcpy(up, o->last_up, sizeof o->last_up);
}

/* Still for half a second: the rate near 0, the force near 1 g and steady. */
static bool still_step(prop_still *s, prop_real rate_dps, prop_real force_g)
{
    const bool is_quiet = rate_dps < R(PROP_STILL_DPS) && FABS(force_g - 1) < R(PROP_STILL_SCALE_G);
    if (!is_quiet) s->run = 0;
    else if (s->run > 0 && FABS(force_g - s->rest_g) < R(PROP_STILL_G)) {
        if (s->run < PROP_STILL_SAMPLES) ++s->run;
    } else {
        s->run = 1;
        s->rest_g = force_g;
    }
    return s->run >= PROP_STILL_SAMPLES;
}

/* ---- Detectors ---------------------------------------------------------------------------------------------------- */

/* Closed from the first sample at or above the speed until the hold has passed since the last one that was; once closed
   by speed, a sample counts as high down to the release ratio. */
static bool guard_step(prop_guard *g, prop_real speed_dps)
{
    if (speed_dps >= g->level_dps) {
        g->level_dps = R(PROP_GUARD_RELEASE_RATIO) * R(PROP_GUARD_SPEED_DPS);
        g->samples_left = PROP_GUARD_HOLD_SAMPLES;
        return true;
    }
    g->level_dps = R(PROP_GUARD_SPEED_DPS);
    if (g->samples_left > 0) --g->samples_left;
    return g->samples_left > 0;
}

static void button_end(prop_button *b, prop_output *out, bool acts)
{
    b->is_decided = true;
    out->power_acts = acts;
    out->power_refused = !acts;
}

/* What becomes of the press that goes on. is_over: it is known that the button was let go. */
static void button_decide(prop_button *b, prop_output *out, bool is_over)
{
    const bool is_long = b->age >= (is_over ? PROP_POWER_LONG_SAMPLES : PROP_POWER_LONG_AT_SAMPLES);
    const int32_t held = b->age - (PROP_POWER_LENGTH == PROP_LONG_PRESS ? PROP_POWER_LONG_AT_SAMPLES : 0);

    if (b->is_decided) return;
    if (PROP_POWER_LENGTH == PROP_LONG_PRESS && !is_long) {
        if (is_over) button_end(b, out, false);
    } else if (PROP_POWER_LENGTH == PROP_SHORT_PRESS || PROP_POWER_ACTS == PROP_AT_RELEASE) {
        if (is_over) button_end(b, out, !(PROP_POWER_LENGTH == PROP_SHORT_PRESS && is_long) && !out->guard_closed);
    } else if (!out->guard_closed) {
        button_end(b, out, true);
    } else if (PROP_POWER_ACTS != PROP_WHILE_HELD || is_over || held >= PROP_POWER_HELD_LIMIT_SAMPLES) {
        button_end(b, out, false);
    }
}

/* The power button: when a press acts, how long it must be, and pauses that are bounces. */
static void button_step(prop_button *b, prop_output *out, bool is_down)
{
    out->power_acts = out->power_refused = false;
    if (b->age >= 0) {
        bool is_over;
        ++b->age;
        if (b->up_for >= 0) ++b->up_for;
        else if (!is_down) b->up_for = 0;
        if (is_down && b->up_for >= 0 && b->up_for < PROP_POWER_DEBOUNCE_SAMPLES) b->up_for = -1;
        is_over = b->up_for >= 0 && b->up_for >= PROP_POWER_KNOWN_UP_SAMPLES;
        button_decide(b, out, is_over);
        if (is_over) b->age = -1;
    }
    if (b->age >= 0 || !is_down) return;
    b->age = 0;
    b->up_for = -1;
    b->is_decided = false;
    button_decide(b, out, false);
}

enum { ARMED, CONFIRMING, DISARMED };

/* A crossing inside the rest fires nothing, and disarms all the same. */
static bool onset(prop_onset *d, int32_t rest_samples)
{
    d->phase = DISARMED;
    if (d->rest_left > 0) return false;
    d->rest_left = rest_samples;
    return true;
}

/* Whether deflections are on: always, or from when their button goes down until it has been up for the debounce. */
static bool deflection_is_on(int32_t *left, bool is_down)
{
    if (PROP_DEFLECTIONS_ON == PROP_ALWAYS) return true;
    if (is_down) *left = PROP_DEFLECTION_DEBOUNCE_SAMPLES;
    else if (*left == 0) return false;
    else --*left;
    return true;
}

/* Once a swing: the speed has been reached for so long with deflections on, and comes down before the next one. */
static bool deflection_step(prop_onset *d, prop_real speed_dps, bool is_on)
{
    if (d->rest_left > 0) --d->rest_left;
    if (d->phase == DISARMED) {
        if (speed_dps < R(PROP_DEFLECTION_REARM_RATIO) * R(PROP_DEFLECTION_SPEED_DPS)) d->phase = ARMED;
        return false;
    }
    if (!(is_on && speed_dps >= R(PROP_DEFLECTION_SPEED_DPS))) {
        d->phase = ARMED;
        return false;
    }
    d->confirmed = d->phase == CONFIRMING ? d->confirmed + 1 : 0;
    d->phase = CONFIRMING;
    return d->confirmed >= PROP_DEFLECTION_CONFIRM_SAMPLES && onset(d, PROP_DEFLECTION_REST_SAMPLES);
}

/* The level rises with the speed, so that a hard swing is no hit. */
static bool impact_step(prop_onset *d, prop_real impact_g, prop_real speed_dps, prop_real least_g)
{
    const prop_real level_g = least_g + R(PROP_IMPACT_ALLOWANCE_G_PER_DPS) * speed_dps;
    if (d->rest_left > 0) --d->rest_left;
    if (d->phase == DISARMED) {
        if (impact_g < level_g) d->phase = ARMED;
        return false;
    }
    return impact_g >= level_g && onset(d, PROP_IMPACT_REST_SAMPLES);
}

enum { IDLE, BUILDING, SUSTAINED, WAITING, SPENT };

static void stab_thrusts(prop_stab *s)
{
    const bool is_under_way = s->phase == BUILDING || s->phase == SUSTAINED;
    if (s->phase == SPENT) return;
    if (!is_under_way && s->quiet_for < PROP_STAB_QUIET_BEFORE_SAMPLES) {
        s->phase = SPENT;
        return;
    }
    s->built = is_under_way ? s->built + 1 : 0;
    s->phase = s->built >= PROP_STAB_SUSTAIN_SAMPLES ? SUSTAINED : BUILDING;
    if (s->phase == SUSTAINED) s->window_left = PROP_STAB_WINDOW_SAMPLES + 1;
}

/* A sustained thrust of a blade that has been quiet for a while, then a hit before it swings. */
static bool stab_step(prop_stab *s, prop_real thrust_g, prop_real speed_dps, bool is_hit)
{
    const bool is_quiet = speed_dps <= R(PROP_STAB_QUIET_DPS);
    if (s->window_left > 0) --s->window_left;
    if (is_quiet && thrust_g >= R(PROP_STAB_THRUST_G)) stab_thrusts(s);
    else s->phase = s->window_left > 0 ? WAITING : IDLE;
    if (speed_dps > R(PROP_STAB_UNTIL_HIT_DPS)) s->window_left = 0;
    if (!is_quiet) s->quiet_for = 0;
    else if (s->quiet_for < PROP_STAB_QUIET_BEFORE_SAMPLES) ++s->quiet_for;
    if (!is_hit || s->window_left == 0) return false;
    s->window_left = 0;
    if (s->phase == SUSTAINED) s->phase = SPENT;
    else if (s->phase == WAITING) s->phase = IDLE;
    return true;
}

/* The least of this value and of those in the window before it: a queue of candidates, ever larger towards the newest. */
static prop_real extreme_step(prop_extreme *e, prop_real value)
{
    const int32_t size = PROP_TWIST_WINDOW_SAMPLES + 1;
    int32_t next;
    ++e->now;
    if (e->count > 0 && e->now - e->time[e->oldest] > (uint32_t)PROP_TWIST_WINDOW_SAMPLES) {
        e->oldest = e->oldest + 1 == size ? 0 : e->oldest + 1;
        --e->count;
    }
    next = (e->oldest + e->count) % size;
    while (e->count > 0) {
        const int32_t newest = next == 0 ? size - 1 : next - 1;
        if (e->value[newest] < value) break;
        next = newest;
        --e->count;
    }
    e->value[next] = value;
    e->time[next] = e->now;
    ++e->count;
    return e->value[e->oldest];
}

static void twist_empty(prop_state *p)
{
    p->lowest.count = p->highest.count = 0;
    p->lowest.now = p->highest.now = 0;
}

/* So much turn within the window, at no more than so much swing speed all the while. */
static bool twist_step(prop_state *p, prop_real speed_dps)
{
    const prop_real angle = p->twist_deg;
    prop_real fallen, risen;
    if (!(speed_dps <= R(PROP_TWIST_QUIET_DPS)) || isnan(angle)) {
        twist_empty(p);
        return false;
    }
    fallen = extreme_step(&p->highest, -angle) + angle;
    risen = extreme_step(&p->lowest, angle) - angle;
    if (fallen > -R(PROP_TWIST_ANGLE_DEG) && risen > -R(PROP_TWIST_ANGLE_DEG)) return false;
    twist_empty(p);
    (void)extreme_step(&p->lowest, angle);
    (void)extreme_step(&p->highest, -angle);
    return true;
}

/* The largest k whose k steps are no more than the angle; the quotient may be rounded to the wrong side of a border. */
static int32_t whole_steps(prop_real angle_deg)
{
    const prop_real step = R(PROP_TWIST_DEG_PER_STEP);
    const prop_real k = FLOOR(angle_deg / step);
    if (k * step > angle_deg) return (int32_t)k - 1;
    return (k + 1) * step <= angle_deg ? (int32_t)k + 1 : (int32_t)k;
}

/* A whole step of hysteresis: an angle that trembles about a border moves nothing. */
static int32_t dial_step(prop_state *p)
{
    const prop_real angle = p->twist_deg;
    const prop_real step = R(PROP_TWIST_DEG_PER_STEP);
    const int32_t before = p->dial_position;
    if (!isfinite(angle)) return 0;
    if (angle >= (prop_real)(before + 1) * step) p->dial_position = whole_steps(angle);
    else if (angle <= (prop_real)(before - 1) * step) p->dial_position = -whole_steps(-angle);
    return p->dial_position - before;
}

/* ---- All of it ---------------------------------------------------------------------------------------------------- */

#if PROP_IMPACT_IS_HEARD
static const prop_real impact_sections[1][5] = PROP_IMPACT_COEFFICIENTS;
#endif

/* The size of the force's fast part. */
static prop_real impact_size(prop_state *p, const prop_real a[3])
{
#if PROP_IMPACT_IS_HEARD
    prop_real sum = 0;
    if (isnan(a[0] + a[1] + a[2])) return R(NAN);
    for (int k = 0; k < 3; ++k) {
        prop_real f;
        if (!p->impact_is_primed) cascade_prime(&p->impact_filter[k], impact_sections, 1, a[k]);
        f = cascade_step(&p->impact_filter[k], impact_sections, 1, a[k]);
        sum += f * f;
    }
    p->impact_is_primed = true;
    return SQRT(sum);
#else
    (void)p;
    (void)a;
    return 0;
#endif
}

static prop_real swing_speed(prop_state *p, const prop_real g[3])
{
    const prop_real y = smoother_step(&p->speed_y, g[1]);
    const prop_real z = smoother_step(&p->speed_z, g[2]);
    return SQRT(y * y + z * z);
}

/* Turned about the blade since the last start: by the mean of two samples' rates. A sample with NaN counts for no time. */
static void twist_turn(prop_state *p, const prop_real g[3], bool is_start)
{
    if (isnan(g[0] + g[1] + g[2])) return;
    if (is_start || !p->twist_has_start) p->twist_deg = 0;
    else p->twist_deg += (g[0] + p->twist_last_dps) * (R(0.5) / R(PROP_RATE_HZ));
    p->twist_has_start = true;
    p->twist_last_dps = g[0];
}

void prop_init(prop_state *p, bool finds_bias)
{
    memset(p, 0, sizeof *p);
    p->finds_bias = finds_bias;
    p->button.age = p->button.up_for = -1;
    prop_reset(p);
}

void prop_set_bias(prop_state *p, prop_real x_dps, prop_real y_dps, prop_real z_dps)
{
    p->bias_dps[0] = x_dps;
    p->bias_dps[1] = y_dps;
    p->bias_dps[2] = z_dps;
}

void prop_reset(prop_state *p)
{
    const bool finds_bias = p->finds_bias;
    prop_button button = p->button;
    prop_real bias_dps[3];
    memcpy(bias_dps, p->bias_dps, sizeof bias_dps);
    memset(p, 0, sizeof *p);
    memcpy(p->bias_dps, bias_dps, sizeof bias_dps);
    p->finds_bias = finds_bias;
    button.is_decided = true; /* what becomes of a press across a gap is not known */
    p->button = button;
    p->is_first = true;
    p->orientation.turned[0] = 1;
    p->orientation.up[2] = p->orientation.last_up[2] = 1;
    p->guard.level_dps = R(PROP_GUARD_SPEED_DPS);
}

static const prop_real mount[3][3] = PROP_MOUNT;

static prop_real turned(const prop_real v[3], int row)
{
    return mount[row][0] * v[0] + mount[row][1] * v[1] + mount[row][2] * v[2];
}

void prop_step(prop_state *p, const prop_sample *sample, prop_output *out)
{
    prop_real g[3], a[3], up[3], scaled[3], across, raw_thrust_g;
    bool is_start, is_on;

    if (p->finds_bias) {
        prop_real value[6];
        for (int k = 0; k < 3; ++k) {
            value[k] = sample->gyro_dps[k];
            value[k + 3] = sample->accel_g[k];
        }
        rest_bias_step(p, value);
    }
    for (int k = 0; k < 3; ++k) scaled[k] = R(PROP_ACCEL_SCALE) * sample->accel_g[k];
    for (int k = 0; k < 3; ++k) {
        g[k] = turned(sample->gyro_dps, k) - turned(p->bias_dps, k);
        a[k] = turned(scaled, k);
    }

    out->swing_speed_dps = swing_speed(p, g);
    orientation_step(&p->orientation, g, a, up);
    across = g[1] * g[1] + g[2] * g[2];
    raw_thrust_g = a[0] - up[0];
    out->is_still =
        still_step(&p->still, SQRT(g[0] * g[0] + across), SQRT(a[0] * a[0] + a[1] * a[1] + a[2] * a[2]));
    out->thrust_g = smoother_step(&p->thrust, raw_thrust_g + R(PROP_PULL_G_PER_DPS2) * across);
    out->impact_g = impact_size(p, a);
#if PROP_TWIST_START == PROP_AT_REST
    is_start = out->is_still;
#elif PROP_TWIST_START == PROP_AT_BUTTON
    is_start = sample->button_went_down;
#else
    is_start = false;
#endif
    twist_turn(p, g, is_start);
    out->twist_deg = p->twist_deg;
    if (is_start || p->is_first) {
        twist_empty(p);
        p->dial_position = 0;
    }
    p->is_first = false;

    out->guard_closed = guard_step(&p->guard, out->swing_speed_dps);
    button_step(&p->button, out, sample->power_is_down);
    is_on = deflection_is_on(&p->deflections_on_left, sample->deflection_button_is_down);
    out->deflection = deflection_step(&p->deflection, out->swing_speed_dps, is_on);
    out->impact = impact_step(&p->impact, out->impact_g, out->swing_speed_dps, R(PROP_IMPACT_G));
    out->stab = stab_step(&p->stab, out->thrust_g, out->swing_speed_dps,
        impact_step(&p->hit, out->impact_g, out->swing_speed_dps, R(PROP_STAB_HIT_G)));
    out->twist = twist_step(p, out->swing_speed_dps);
    out->dial_steps = dial_step(p);
}
