/*
 * An example of use that runs on any computer: samples come in on standard input, one line each,
 *     time_us,gyro_x_dps,gyro_y_dps,gyro_z_dps,accel_x_g,accel_y_g,accel_z_g,power
 * (and ,deflection_button where deflections are on while that is held) with a header line first, at PROP_RATE_HZ; the same lines go out with what the prop decides beside them, as a log that
 * the workbench reads: guard_closed and press_refused are 0 or 1, fired is 0 or the names of what fired, joined by +,
 * the dial with its steps (dial:2, dial:-1). On a prop, fill the sample from the sensor instead and act on the output.
 *     cc -std=c99 -o example example.c prop.c -lm
 */
#include "prop.h"

#include <stdio.h>

/* A stamp so many steps behind the last one is a gap: nothing is known of what lies in it. */
#define GAP_STEPS 3.5

#if PROP_DEFLECTIONS_ON == PROP_WHILE_HELD
#define CELLS 9
#define DEFLECTION_COLUMN "deflection_button,"
#else
#define CELLS 8
#define DEFLECTION_COLUMN ""
#endif

static prop_state prop;

/* One name of what fired, behind those before it. */
static void name_fire(const char *name, bool fires, bool *any)
{
    if (!fires) return;
    printf("%s%s", *any ? "+" : "", name);
    *any = true;
}

static void print_fired(const prop_output *out)
{
    bool any = false;

    name_fire("deflection", out->deflection, &any);
    name_fire("impact", out->impact, &any);
    name_fire("stab", out->stab, &any);
    name_fire("twist", out->twist, &any);
    name_fire("dial:", out->dial_steps != 0, &any);
    if (out->dial_steps != 0) printf("%ld", (long)out->dial_steps);
    if (!any) printf("0");
    printf("\n");
}

int main(void)
{
    char line[512];
    double t, before = 0, v[6];
    int power, was_down = 0, is_first = 1, deflection_button = 0, was_held = 0;

    prop_init(&prop, true);
    printf("time_us,gyro_x_dps,gyro_y_dps,gyro_z_dps,accel_x_g,accel_y_g,accel_z_g,power,"
           DEFLECTION_COLUMN "guard_closed,press_refused,fired\n");
    while (fgets(line, sizeof line, stdin)) {
        prop_sample sample;
        prop_output out;
        bool went_down;
        if (sscanf(line, "%lf,%lf,%lf,%lf,%lf,%lf,%lf,%d,%d", &t, &v[0], &v[1], &v[2], &v[3], &v[4], &v[5],
                &power, &deflection_button) < CELLS)
            continue; /* the header, or a line that is cut off */
        if (CELLS == 8) deflection_button = 0; /* whatever stands there is no button */
        if (!is_first && t - before > GAP_STEPS * 1e6 / PROP_RATE_HZ) prop_reset(&prop);
        went_down = (power && !was_down) || (deflection_button && !was_held);
        for (int k = 0; k < 3; ++k) {
            sample.gyro_dps[k] = (prop_real)v[k];
            sample.accel_g[k] = (prop_real)v[k + 3];
        }
        sample.button_went_down = went_down;
        sample.power_is_down = power != 0;
        sample.deflection_button_is_down = deflection_button != 0;
        prop_step(&prop, &sample, &out);

        /* Here a prop would act: darken the blade where power_acts, answer a hit, turn a dial. */
        printf("%.0f,%.9g,%.9g,%.9g,%.9g,%.9g,%.9g,%d,", t, v[0], v[1], v[2], v[3], v[4], v[5], power);
        if (CELLS == 9) printf("%d,", deflection_button);
        printf("%d,%d,", out.guard_closed, out.power_refused);
        print_fired(&out);
        before = t;
        was_down = power;
        was_held = deflection_button;
        is_first = 0;
    }
    return 0;
}
