// One module on a bench: libsimavr's ATmega328P, a serial adapter on its plug, switches on its inputs, a supply that can be cut.
//
// What libsimavr 1.6 lacks for this is here: a USART with real byte times and a two-byte buffer, self-programming that takes
// time, forbids reading what it writes and can be broken off in its middle, and an SPI with real byte times.
#ifndef BENCH_H
#define BENCH_H
#include <stdint.h>
#include <stdio.h>
#include <sim_avr.h>
#include <sim_time.h>
#include <sim_io.h>
#include <avr_ioport.h>
#include <avr_extint.h>

typedef uint64_t cycles_t;

enum { CLOCK_HZ = 16000000, FLASH_BYTES = 0x8000, PAGE = 128, OUTPUTS = 64 };
enum kind { CHAIN, PINS };

extern avr_t *avr;
extern enum kind kind;
extern int powered;

// Things that must not happen; each is counted and the first is told in words.
void fault(const char *what);

// module.c: processor, pins, outputs.
void module_make(void);
void module_power(int on);
void module_input(int input, int level);   // 0-based
void module_later(cycles_t at, int input, int level);
void alarm_renew(void);                    // after anything that changes what comes next
void module_serial_level(int level);       // at the receive pin
void module_run_until(cycles_t when);      // at most: a cut of the supply ends it too
cycles_t now(void);
cycles_t edge(void);                       // when the running instruction's write takes effect
void light_account(void);                  // brings on_time up to now
void light_changed(void);
extern cycles_t on_time[OUTPUTS];          // cycles lit, since the start
extern uint64_t lit_word;                  // what the outputs are told, without the blanking
extern uint64_t watched;                   // outputs that are watched
extern cycles_t watched_since;             // since when all of them are in every word; 0: they are not
extern cycles_t latency;                   // the longest from a press of `later` or `during` to the watched outputs
extern cycles_t longest;                   // the longest interrupt that reads the inputs: in it the line is served
extern int presses;                        // of these
int asleep(void);                          // in power-down: the USART stands still as well
extern cycles_t awake_since;
extern int resets;                         // by the watchdog, since the start

// line.c: the USART and the adapter.
void line_make(void);
void line_reset(void);
void line_send(const uint8_t *bytes, int n);   // follows what is still to be sent
void line_break(cycles_t length);
int line_received(uint8_t *bytes, int most);   // takes what has come
int line_pending(void);                        // bytes that have come
cycles_t line_last(void);                      // when the last one came
void line_baud(double bits_per_second);
cycles_t line_event(cycles_t at);              // does what is due; gives when the next thing is, 0: nothing
int line_level(cycles_t at);                   // of the receive pin
extern int overruns;                           // bytes that the module was too slow to take

// flash.c: self-programming.
void flash_make(void);
void flash_reset(void);
void flash_check(void);                    // before each instruction
void flash_cut(int operation, double share);
void flash_press(int operation, cycles_t after, int input);
cycles_t flash_cut_at(void);               // 0: none
extern int operations;                     // erasings and writings, since the start
extern int slow;                           // 1: each takes the longest time of the data sheet, else drawn
extern uint32_t touched_low, touched_high; // lowest and highest address of a page that was erased or written
#endif
