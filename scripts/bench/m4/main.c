/* Counts instructions a sample on an emulated Cortex-M4: the timer of the core runs by instructions there. */
#include "prop.h"

#define SYST_CSR (*(volatile uint32_t *)0xE000E010u)
#define SYST_RVR (*(volatile uint32_t *)0xE000E014u)
#define SYST_CVR (*(volatile uint32_t *)0xE000E018u)
#define CPACR (*(volatile uint32_t *)0xE000ED88u)
#define TIMER_MAX 0xFFFFFFu

extern uint32_t stack_end;
void reset(void);

__attribute__((section(".vectors"), used)) static void *const vectors[2] = {&stack_end, (void *)reset};

static const prop_real samples[][6] = {
#include "samples.inc"
};
static prop_state state;

/* A call to the machine that emulates this one. */
static void host(int operation, const void *argument)
{
    register int r0 __asm__("r0") = operation;
    register const void *r1 __asm__("r1") = argument;
    __asm__ volatile("bkpt 0xab" : "+r"(r0) : "r"(r1) : "memory");
}

static void print(uint32_t value)
{
    char text[12];
    int i = 11;
    text[i] = 0;
    text[--i] = '\n';
    do text[--i] = (char)('0' + value % 10);
    while ((value /= 10) > 0);
    host(0x04, &text[i]);
}

void reset(void)
{
    const uint32_t count = sizeof samples / sizeof samples[0];
    uint32_t ticks = 0, before, now, fires = 0;
    CPACR |= 0xFu << 20; /* the floating-point unit on */
    prop_init(&state, true);
    SYST_RVR = TIMER_MAX;
    SYST_CVR = 0;
    SYST_CSR = 5;
    while (SYST_CVR == 0) {}
    before = SYST_CVR;
    for (uint32_t i = 0; i < count; ++i) {
        prop_sample sample;
        prop_output out;
        for (int k = 0; k < 3; ++k) {
            sample.gyro_dps[k] = samples[i][k];
            sample.accel_g[k] = samples[i][k + 3];
        }
        sample.button_went_down = false;
        /* Both buttons now and then, as a hand would press them. */
        sample.power_is_down = i % 400 < 60;
        sample.deflection_button_is_down = i % 300 < 150;
        prop_step(&state, &sample, &out);
        fires += out.deflection;
        now = SYST_CVR;
        ticks += (before - now) & TIMER_MAX;
        before = now;
    }
    print(ticks);
    print(count);
    print(fires);
    print(sizeof state);
    host(0x18, (void *)0x20026);
    for (;;) {}
}
