
/* ---- What the program offers -------------------------------------------------------------------------------------- */

/* double, unless PROP_FLOAT is defined. In float the events of some traces differ by a sample where a value meets its
   threshold to within rounding. Compile without -ffast-math: NaN has to stay NaN. */
#ifdef PROP_FLOAT
typedef float prop_real;
#else
typedef double prop_real;
#endif

/* One sample as the sensor gives it, sensor frame. A value that is not known is NaN. */
typedef struct {
    prop_real gyro_dps[3];
    prop_real accel_g[3]; /* specific force: +1 g upward at rest */
    bool button_went_down; /* any button, since the last sample or at this one */
    bool power_is_down; /* the power button */
    bool deflection_button_is_down; /* looked at only where deflections are on while it is held */
} prop_sample;

/* What the sample came to. */
typedef struct {
    prop_real swing_speed_dps;
    prop_real thrust_g;
    prop_real impact_g;
    prop_real twist_deg;
    bool is_still;
    bool guard_closed; /* a power press at this moment is to be refused */
    bool power_acts, power_refused; /* what becomes of a press of the power button, once, when that is decided */
    bool deflection;
    bool impact;
    bool stab;
    bool twist;
    int32_t dial_steps; /* negative downward */
} prop_output;

/* Sections of second order in series; b0 b1 b2 a1 a2 each. */
typedef struct {
    prop_real z[2 * PROP_MAX_SECTIONS];
} prop_cascade;

typedef struct {
    bool is_primed;
#if PROP_SMOOTHING == PROP_BUTTERWORTH
    prop_cascade cascade;
#elif PROP_SMOOTHING == PROP_FIRST_ORDER
    prop_real y;
#elif PROP_SMOOTHING == PROP_MOVING_AVERAGE
    prop_real window[PROP_SMOOTHING_SAMPLES];
    prop_real sum, lap_sum;
    int32_t at;
#elif PROP_SMOOTHING == PROP_MEDIAN
    prop_real window[PROP_SMOOTHING_SAMPLES]; /* in the order of time */
    prop_real sorted[PROP_SMOOTHING_SAMPLES];
    int32_t at;
#endif
} prop_smoother;

typedef struct {
    prop_real value[PROP_TWIST_WINDOW_SAMPLES + 1];
    uint32_t time[PROP_TWIST_WINDOW_SAMPLES + 1], now; /* in samples, round and round */
    int32_t oldest, count;
} prop_extreme;

typedef struct {
    int32_t count;
    prop_real first[6], sum[6], squares[6];
} prop_rest_bias;

typedef struct {
    prop_real turned[4]; /* quaternion, scalar first */
    prop_real last_dps[3];
    prop_real sensor_speed[3];
    prop_real mean_g[3], mean_slope[3], filtered_g[3]; /* two integrators an axis, and what comes out */
    prop_real up[3], last_up[3];
    int32_t samples;
} prop_orientation;

typedef struct {
    int32_t run;
    prop_real rest_g;
} prop_still;

typedef struct {
    prop_real level_dps;
    int32_t samples_left;
} prop_guard;

/* In samples since it went down, and since it came up within the press; -1 where it is not so. */
typedef struct {
    int32_t age, up_for;
    bool is_decided;
} prop_button;

/* Deflection and impact: a level is reached, then nothing until it has been left again. */
typedef struct {
    uint8_t phase;
    int32_t confirmed, rest_left;
} prop_onset;

typedef struct {
    uint8_t phase;
    int32_t built, quiet_for, window_left;
} prop_stab;

/* All that is kept from sample to sample: no heap, and nothing outside. */
typedef struct {
    bool is_first, finds_bias;
    prop_real bias_dps[3];
    prop_rest_bias rest_bias;
    prop_smoother speed_y, speed_z, thrust;
    prop_orientation orientation;
    prop_still still;
    prop_cascade impact_filter[3];
    bool impact_is_primed;
    bool twist_has_start;
    prop_real twist_deg, twist_last_dps;
    prop_guard guard;
    prop_button button;
    prop_onset deflection, impact, hit;
    int32_t deflections_on_left; /* samples for which deflections stay on with their button up */
    prop_stab stab;
    prop_extreme lowest, highest;
    int32_t dial_position;
} prop_state;

/* Once, before the first sample. finds_bias: the gyro's bias is taken at each rest of a second; else prop_set_bias says it. */
void prop_init(prop_state *p, bool finds_bias);

/* The gyro's bias from the next sample on, sensor frame, deg/s. */
void prop_set_bias(prop_state *p, prop_real x_dps, prop_real y_dps, prop_real z_dps);

/* Before the first sample behind a gap: all is forgotten but the bias. */
void prop_reset(prop_state *p);

/* Once for every sample, PROP_RATE_HZ times a second. */
void prop_step(prop_state *p, const prop_sample *sample, prop_output *out);

#endif
