/* CAUTION. This code decides whether a knee bears weight. It equals a model on paper and has proved nothing on a leg. Tethered bench,
 * emergency stop, every fault provoked in every part of the stride; only then overhead harness, ethics board, licensed prosthetist, and
 * the standards and local codes that apply. It is no safety function: the electronics' own limits, watchdog and stop stand beside it. */

/* One controller for knee and ankle, C99, float32, fixed rate, no allocation, no recursion, no clock. Numbers are in tables.h. */
#ifndef CONTROLLER_H
#define CONTROLLER_H

#include <stdint.h>

#include "sizes.h"

/* What is read each tick. An angle or rate that is not known is NaN: never the last one again. */
typedef struct {
  float thigh_rad;
  float thigh_rate_rad_per_s;
  float knee_rad;
  float ankle_rad;
  float load_N;
  float knee_winding_K;
  float ankle_winding_K;
  float bus_V;
  float elapsed_s; /* since the tick before, by a clock that is not this loop's */
  float release;   /* 1 while the wearer asks to leave a safe state */
  float knee_second_rad; /* the same angles by the encoder on the other side of the gears; NaN where there is none */
  float ankle_second_rad;
} ctl_input;

/* What comes out. [0] knee, [1] ankle. */
typedef struct {
  float torque_Nm[2];
  int32_t shorted[2]; /* 1: short the phases of this joint */
  int32_t state;
  float phase; /* share of the stride */
  float command_rad[2];
  int32_t fault;     /* first that is latched, from 1; 0: none */
  int32_t warning;   /* first that warns, from 1; 0: none */
  int32_t limits[2]; /* bits: 1 torque by position, 2 speed, 4 heat, 8 slew, 16 bus */
  float most_Nm[2];  /* what heat and speed leave of the torque */
  float speed_m_per_s;  /* that maps and schedules go by; 0 where nothing does */
  int32_t speed_status; /* 0 not read, 1 read, 2 speed outside, 3 slope outside, 4 no flat foot, 5 no number, 6 below the slowest, 7 above the fastest */
  float slope_rad;      /* that maps are turned by, up ahead positive; 0 where nothing goes by it */
  int32_t slope_status; /* 0 to 5 as of the speed, 6 beyond the ends, 7 no walking */
} ctl_output;

/* The map from thigh to phase of the present state. */
typedef struct {
  float sign;
  float scale;
  float pace_per_s;
  float toe_off;
  float on_rad; /* of the map's own stride where it begins */
  float turned_rad; /* by a slope, in these three */
  float full_rad;
  float peak_rad;
  float play;
  float fastest_per_s;
  float finish_rate_per_s;
  float corner;
  float blend;
  float phase[CTL_MAP_STEPS + 1];
  float bend[CTL_MAP_STEPS + 1];
  float joint_rad[2][CTL_TRAJECTORY];
  /* what the leg's own weight asks for at rest, and its inertia at one stride a second, growing with the square of the pace up to this */
  float held_Nm[2][CTL_TRAJECTORY];
  float moved_Nms2[2][CTL_TRAJECTORY];
  float torque_fastest_per_s;
} ctl_map;

/* The stance schedule of one joint in the present state. */
typedef struct {
  int32_t points;
  float at[CTL_LAW_POINTS];
  float stiffness[CTL_LAW_POINTS];
  float offset[CTL_LAW_POINTS];
  float damping[CTL_LAW_POINTS];
} ctl_law;

/* What is remembered of speed and slope. */
typedef struct {
  float used_m_per_s;
  int32_t loaded;
  int32_t status;
  int32_t was; /* loaded a tick ago, -1: not known */
  int32_t spoilt;
  int32_t point;
  int32_t ticks;
  int32_t flat_ticks;
  float travel_m;
  float travel_low_m; /* what a float32 sum loses */
  float along_m;
  float flat_sum_rad;
  float flat_low_rad;
  float pitch_rad;
  float pitch_rate_rad_per_s;
  float incline_rad;
  float smoothed_rad;
  float slope_rad;
  int32_t unread;
  int32_t slope_status;
} ctl_speed;

/* What is remembered from tick to tick. */
typedef struct {
  float held[CTL_SENSORS];
  float rate_rad_per_s[2];
  float phase;
  float start_rad[2];
  float torque_Nm[2];
  float wound_Nm[2]; /* that the gears may still be wound up by */
  float disagrees_rad_per_s;
  float wanders_rad; /* by how much the thigh reads more at contact than its map has, smoothed over strides */
  float lean_rad;    /* the same of the last contact alone; NaN where there was none */
  int32_t state;
  int32_t dwell;
  int32_t fault;
  int32_t missing[CTL_SENSORS];
  int32_t same[CTL_SENSORS];
  int32_t watch[CTL_WATCHES];
  int32_t fired[CTL_WATCHES];
  int32_t held_for[CTL_TRANSITIONS];
  ctl_map map;
  ctl_law law[2];
  ctl_speed speed;
  struct {
    float phase;
    float phase_low; /* what a float32 phase loses while it catches up */
    float rate_per_s;
    float joint_rad[2];
    float joint_rate_rad_per_s[2];
    float torque_Nm[2];
    int32_t fault;
    float play;
    float on_rad;
    int32_t finishing;
    int32_t finish_ticks;
    float finish_start;
    float offset_rad[2];
    float offset_slope_rad[2];
  } swing;
} ctl_state;

void ctl_reset(ctl_state *x);
void ctl_tick(ctl_state *x, const ctl_input *in, ctl_output *out);

/* CRC-32 of all tables as they are in memory; compare with ctl_stated_checksum before the first tick. */
uint32_t ctl_checksum(void);
extern const uint32_t ctl_stated_checksum;

/* Fingerprint of the controller file, and of this build of it for one wearer and leg: write both into every log. */
extern const char ctl_controller[65];
extern const char ctl_build[65];

#endif
