/* Takes samples from standard input through the detectors: 13 doubles in (rates, forces, bias, whether all is forgotten
   before, whether a button went down, whether power and the deflection's button are down), 13 doubles out. */
#include "prop.h"

#include <stdio.h>

int main(int argc, char **argv)
{
    static prop_state p;
    double in[13];
    (void)argv;
    prop_init(&p, argc > 1);
    while (fread(in, sizeof in, 1, stdin) == 1) {
        prop_sample s;
        prop_output o;
        double out[13];
        if (in[9] != 0) prop_reset(&p);
        for (int k = 0; k < 3; ++k) {
            s.gyro_dps[k] = (prop_real)in[k];
            s.accel_g[k] = (prop_real)in[k + 3];
        }
        if (argc == 1) prop_set_bias(&p, (prop_real)in[6], (prop_real)in[7], (prop_real)in[8]);
        s.button_went_down = in[10] != 0;
        s.power_is_down = in[11] != 0;
        s.deflection_button_is_down = in[12] != 0;
        prop_step(&p, &s, &o);
        out[0] = (double)o.swing_speed_dps;
        out[1] = (double)o.thrust_g;
        out[2] = (double)o.impact_g;
        out[3] = (double)o.twist_deg;
        out[4] = o.is_still;
        out[5] = o.guard_closed;
        out[6] = o.deflection;
        out[7] = o.impact;
        out[8] = o.stab;
        out[9] = o.twist;
        out[10] = o.dial_steps;
        out[11] = o.power_acts;
        out[12] = o.power_refused;
        if (fwrite(out, sizeof out, 1, stdout) != 1) return 1;
    }
    return ferror(stdin) ? 1 : 0;
}
