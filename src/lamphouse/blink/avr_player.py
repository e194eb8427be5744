"""The C program with which an 8-bit AVR plays a time table, numbers and tables left open.

Light is set by bit-angle modulation in software, so that any pin will do: each frame of 1/240 s has
eight slots, each twice as long as the one before, and a pin is on in those of its duty's bits. What
eight bits leave over is carried to the next frame, so that the mean is right to 1/65280. Frames
are exact to a cycle of the clock; one that comes too late is made up for.
"""

from string import Template

PLAYER = Template(
    """
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/pgmspace.h>
#include <avr/wdt.h>
#include <stdint.h>

#define CHANNELS $channels
#define SCENES $scene_count
#define DAY $day_count
#define TIMERS $timer_count
#define BUTTONS $button_count
#define DEBOUNCE $debounce
#define SLOTS 8
#define PORTS $port_count
#define EXTRA $extra  /* cycles of 240 frames beyond 240 whole ones */

/* Cycles of each slot, the shortest first. */
static const uint16_t LENGTH[SLOTS] = {$lengths};

/* Light of each step of lightness, CIE 1976, in 1/256 of the lowest bit. */
static const uint16_t LIGHT[256] PROGMEM = {
$light
};

/* Tracks: first step, piece the loop begins with, pieces; then ticks and end step of each piece. */
static const uint8_t RECORDS[] PROGMEM = {
$records
};
static const uint16_t OFFSETS[] PROGMEM = {
$offsets
};

struct scene {
    uint8_t trigger;  /* 0 in turn, 1 button, 2 timer */
    uint32_t length;  /* ticks, 0 for ever */
    uint32_t every;   /* ticks from one beginning to the next, by a timer */
    uint32_t fade;    /* ticks */
    uint16_t tracks[CHANNELS];
};
static const struct scene STORED[SCENES] PROGMEM = {
$scenes
};
static const uint8_t DAY_SCENES[DAY] PROGMEM = {$day};
$timer_table
/* Port and bit of each group. */
static const uint8_t PORT_OF[CHANNELS] PROGMEM = {$ports};
static const uint8_t BIT_OF[CHANNELS] PROGMEM = {$bits};

/* Where a group is in its track. */
struct place {
    uint16_t record, piece, pieces, ticks, passed;
    uint8_t start, end;
};
static struct place places[CHANNELS], kept[CHANNELS];
static uint16_t shown[CHANNELS], held[CHANNELS]; /* 1/256 of a step of lightness */
static uint8_t carried[CHANNELS];
static volatile uint8_t masks[2][SLOTS][PORTS];
static volatile uint8_t front, ready;
static volatile uint16_t frames;

#ifndef TIMER1_COMPA_vect /* small chips call it otherwise */
#define TIMER1_COMPA_vect TIM1_COMPA_vect
#endif

ISR(TIMER1_COMPA_vect)
{
    static uint8_t slot;
    static uint16_t extra;
    if (slot == 0) {
        if (ready) {
            front ^= 1;
            ready = 0;
        }
        frames++;
    }
    const volatile uint8_t *mask = masks[front][slot];
$port_writes
    uint16_t length = LENGTH[slot];
    if (++slot == SLOTS) {
        slot = 0;
        extra += EXTRA;
        if (extra >= 240) {
            extra -= 240;
            length++;
        }
    }
    OCR1A += length;
}

static uint8_t byte_at(uint16_t at) { return pgm_read_byte(RECORDS + at); }
static uint16_t two_at(uint16_t at) { return byte_at(at) | (uint16_t)byte_at(at + 1) << 8; }

/* Go to the piece that the next tick lies in, past jumps and what has ended. */
static void find(struct place *at)
{
    for (;;) {
        uint16_t here = at->record + 5 + 3 * at->piece;
        at->ticks = two_at(here);
        at->end = byte_at(here + 2);
        if (at->passed < at->ticks)
            return;
        at->passed -= at->ticks;
        at->start = at->end;
        if (++at->piece == at->pieces) {
            at->piece = two_at(at->record + 1);
            at->start = byte_at(at->piece ? at->record + 4 + 3 * at->piece : at->record);
        }
    }
}

static void begin_track(struct place *at, uint16_t track)
{
    at->record = pgm_read_word(OFFSETS + track);
    at->pieces = two_at(at->record + 3);
    at->piece = at->passed = 0;
    at->start = byte_at(at->record);
    find(at);
}

/* a + (b - a) * part / whole, in 1/256 of a step. */
static uint16_t between(uint16_t a, uint16_t b, uint32_t part, uint32_t whole)
{
    if (whole > 0xFFFF) { /* keep the product within 32 bits */
        while (whole > 0xFFFF) {
            whole >>= 1;
            part >>= 1;
        }
    }
    if (b >= a)
        return a + (uint32_t)(b - a) * part / whole;
    return a - (uint32_t)(a - b) * part / whole;
}

static uint16_t step_track(struct place *at)
{
    uint16_t level = at->start << 8;
    if (at->end != at->start)
        level = between(level, at->end << 8, at->passed, at->ticks);
    if (++at->passed >= at->ticks)
        find(at);
    return level;
}

static uint32_t now, at, left, fade, faded;
static uint8_t turn, breaking; /* the scene that broke in, from 1 */
static uint32_t due[TIMERS + 1];

static void fade_over(uint32_t ticks)
{
    fade = ticks;
    faded = 0;
    for (uint8_t c = 0; c < CHANNELS; c++)
        held[c] = shown[c];
}

static void begin_scene(uint8_t scene, uint32_t fading)
{
    fade_over(fading);
    for (uint8_t c = 0; c < CHANNELS; c++)
        begin_track(&places[c], pgm_read_word(&STORED[scene].tracks[c]));
}

/* The scene that breaks in at this tick, from 1; 0 for none. */
static uint8_t next_break(uint8_t pressed)
{
    if (pressed)
        return pressed;
$timer_code    return 0;
}

static void tick(uint8_t pressed)
{
    if (breaking && left == 0) {
        uint32_t fading = pgm_read_dword(&STORED[breaking - 1].fade);
        breaking = 0;
        for (uint8_t c = 0; c < CHANNELS; c++)
            places[c] = kept[c];
        fade_over(fading);
    }
    if (!breaking) {
        breaking = next_break(pressed);
        if (breaking) {
            for (uint8_t c = 0; c < CHANNELS; c++)
                kept[c] = places[c];
            left = pgm_read_dword(&STORED[breaking - 1].length);
            begin_scene(breaking - 1, pgm_read_dword(&STORED[breaking - 1].fade));
        } else {
            uint32_t length = pgm_read_dword(&STORED[pgm_read_byte(DAY_SCENES + turn)].length);
            if (length && at >= length) {
                turn = (turn + 1) % DAY;
                at = 0;
                uint8_t scene = pgm_read_byte(DAY_SCENES + turn);
                begin_scene(scene, pgm_read_dword(&STORED[scene].fade));
            }
        }
    }
    for (uint8_t c = 0; c < CHANNELS; c++) {
        uint16_t level = step_track(&places[c]);
        if (faded < fade)
            level = between(held[c], level, faded, fade);
        shown[c] = level;
    }
    if (faded < fade)
        faded++;
    if (breaking)
        left--;
    else
        at++;
    now++;
}

/* Make the masks of the next frame. */
static void render(void)
{
    uint8_t back = front ^ 1;
    for (uint8_t s = 0; s < SLOTS; s++) {
$idle_masks
    }
    for (uint8_t c = 0; c < CHANNELS; c++) {
        uint8_t step = shown[c] >> 8, rest = shown[c];
        uint16_t duty = pgm_read_word(LIGHT + step);
        if (rest)
            duty += (uint32_t)(pgm_read_word(LIGHT + step + 1) - duty) * rest >> 8;
        duty += carried[c];
        carried[c] = duty;
        uint8_t on = duty >> 8, port = pgm_read_byte(PORT_OF + c), bit = pgm_read_byte(BIT_OF + c);
        for (uint8_t s = 0; s < SLOTS; s++, on >>= 1)
            if (on & 1)
                masks[back][s][port] ^= bit;
    }
    ready = 1;
}

$button_code
/* A watchdog stays on through its own reset: off before anything else. */
void rest_the_dog(void) __attribute__((naked, used, section(".init3")));
void rest_the_dog(void)
{
    MCUSR = 0;
    wdt_disable();
}

int main(void)
{
$setup
    for (uint8_t t = 0; t < TIMERS; t++)
        due[t] = pgm_read_dword(&STORED[$timer_of].every);
    begin_scene(pgm_read_byte(DAY_SCENES), 0);
    tick(0);
    render();
    OCR1A = 1000;
    TIMSK1 = 1 << OCIE1A;
    TCCR1B = 1 << CS10;
    wdt_enable(WDTO_2S);
    sei();
    for (uint16_t next = 1;; next++) {
        uint16_t begun;
        do {
            cli();
            begun = frames;
            sei();
        } while ((int16_t)(begun - next) < 0);
        tick($pressed);
        if (begun == next)
            render();
        wdt_reset();
    }
}
"""
)


TIMER_CODE = """    for (uint8_t t = 0; t < TIMERS; t++)
        if (due[t] <= now) {
            uint8_t scene = pgm_read_byte(TIMER_SCENES + t);
            uint32_t every = pgm_read_dword(&STORED[scene].every);
            due[t] = (now / every + 1) * every;
            return scene + 1;
        }
"""

BUTTON_CODE = Template(
    """/* Count how long a button has been down; tell when it has been for long enough. */
static uint8_t count(uint8_t up, uint8_t button)
{
    static uint8_t down[BUTTONS];
    if (up)
        down[button] = 0;
    else if (down[button] <= DEBOUNCE)
        down[button]++;
    return down[button] == DEBOUNCE;
}

/* The scene whose button was pressed at this tick, from 1; 0 for none. */
static uint8_t pressed(void)
{
    uint8_t first = 0;
$reads
    return first;
}
"""
)
