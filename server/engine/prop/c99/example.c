/*
 * An example of use that runs on any computer: samples come in on standard input, one line each,
 *     time_us,gyro_x_dps,gyro_y_dps,gyro_z_dps,accel_x_g,accel_y_g,accel_z_g,power
 * with a header line first, at PROP_RATE_HZ; the same lines go out with what the prop decides beside them. On a prop,
 * fill the sample from the sensor instead and act on the output.
 *     cc -std=c99 -o example example.c prop.c -lm
 */
#include "prop.h"

#include <stdio.h>

/* A stamp so many steps behind the last one is a gap: nothing is known of what lies in it. */
#define GAP_STEPS 3.5

static prop_state prop;

int main(void)
{
    char line[512];
    double t, before = 0, v[6];
    int power, was_down = 0, is_first = 1;

    prop_init(&prop, true);
    printf("time_us,gyro_x_dps,gyro_y_dps,gyro_z_dps,accel_x_g,accel_y_g,accel_z_g,power,"
           "guard_closed,press_refused,deflection,impact,stab,twist,dial_steps\n");
    while (fgets(line, sizeof line, stdin)) {
        prop_sample sample;
        prop_output out;
        bool went_down;
        if (sscanf(line, "%lf,%lf,%lf,%lf,%lf,%lf,%lf,%d", &t, &v[0], &v[1], &v[2], &v[3], &v[4], &v[5],
                &power) != 8)
            continue; /* the header, or a line that is cut off */
        if (!is_first && t - before > GAP_STEPS * 1e6 / PROP_RATE_HZ) prop_reset(&prop);
        went_down = power && !was_down;
        for (int k = 0; k < 3; ++k) {
            sample.gyro_dps[k] = (prop_real)v[k];
            sample.accel_g[k] = (prop_real)v[k + 3];
        }
        sample.button_went_down = went_down;
        prop_step(&prop, &sample, &out);

        /* Here a prop would act: darken the blade at a press that is not refused, answer a hit, turn a dial. */
        printf("%.0f,%.9g,%.9g,%.9g,%.9g,%.9g,%.9g,%d,%d,%d,%d,%d,%d,%d,%ld\n", t, v[0], v[1], v[2], v[3], v[4],
            v[5], power, out.guard_closed, went_down && out.guard_closed, out.deflection, out.impact, out.stab,
            out.twist, (long)out.dial_steps);
        before = t;
        was_down = power;
        is_first = 0;
    }
    return 0;
}
