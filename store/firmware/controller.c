/* CAUTION. This code decides whether a knee bears weight. It equals a model on paper and has proved nothing on a leg. Tethered bench,
 * emergency stop, every fault provoked in every part of the stride; only then overhead harness, ethics board, licensed prosthetist, and
 * the standards and local codes that apply. It is no safety function: the electronics' own limits, watchdog and stop stand beside it. */

/* Order of one tick, always:
 *   read -> speed and slope -> plausibility -> faults -> events -> phase -> trajectory -> torque -> limits -> output
 * Built without -ffast-math: NaN must stay NaN. */

#include "controller.h"

#include <math.h>
#include <string.h>

#include "tables.h"

/* Beyond this a reading is no number, in any unit. */
#define READABLE 1.0e6f
/* Ticks that stand for long enough for everything. */
#define LONG_AGO 1073741824
/* Least way of the thigh that a phase is read from: 15 degrees. */
#define LEAST_THIGH_RANGE_RAD 0.26179939f
/* A foot lies flat while its pitch changes by less than 30 degrees a second, filtered at 10 Hz; at least so long, and so long after contact. */
#define FLAT_RATE_RAD_PER_S 0.52359878f
#define RATE_LAG_S 0.015915494f
#define LEAST_FLAT_S 0.06f
/* Share of one contact in what is smoothed over strides. */
#define ONE_CONTACT 0.2f

enum { THIGH, THIGH_RATE, KNEE, ANKLE, LOAD, KNEE_WINDING, ANKLE_WINDING, BUS, ELAPSED, RELEASE, KNEE_SECOND, ANKLE_SECOND };
enum { DOES_SPRING, DOES_SCHEDULE, DOES_THIGH, DOES_SHORTED };
enum { IS_MISSING, IS_STUCK, IS_JUMP, IS_OUTSIDE, IS_DISAGREEING, IS_WANDERING };
enum { TO_OWN_SAFE = -1, TO_WARNING = -2 };
enum {
  V_START,
  V_CHANGE,
  V_LOADED,
  V_UNLOADED,
  V_SLOWEST,
  V_FASTEST,
  V_THIGH,
  V_SHANK,
  V_FLAT_PITCH,
  V_FLAT_PER_SPEED,
  V_FLAT_CENTRE,
  V_SPEED_FROM,
  V_SPEED_TO,
  V_INCLINE_FROM,
  V_INCLINE_TO
};
enum { V_NOT_READ, V_READ, V_SPEED_OUTSIDE, V_INCLINE_OUTSIDE, V_NO_FLAT_FOOT, V_NO_NUMBER, V_BELOW, V_ABOVE };
enum { S_FROM, S_TO, S_LEVEL, S_SHARE, S_CHANGE };
enum { S_BEYOND = 6, S_NO_WALKING = 7 };
enum {
  L_TORQUE,
  L_FROM,
  L_TO,
  L_MARGIN,
  L_FADE_SPEED,
  L_SPEED,
  L_WARM,
  L_HOT,
  L_RETURNED,
  L_FADE_BUS,
  L_BUS,
  L_SLEW_STEP,
  L_COUNT
};

static float share(float x) { return x < 0.0f ? 0.0f : (x > 1.0f ? 1.0f : x); }

/* Value and slope over the phase of d*s + a0 + sum a_k cos 2 pi k s + b_k sin 2 pi k s, at s + low. Beyond half a turn the angle is taken
 * from the other side: smaller numbers keep more digits. */
static void trajectory_at(const float *q, float s, float low, float *value, float *slope) {
  const float angle = 6.28318531f * ((s > 0.5f ? s - 1.0f : s) + low);
  const float c1 = cosf(angle);
  const float s1 = sinf(angle);
  float c = 1.0f;
  float w = 0.0f;
  int32_t i;
  *value = q[1] + q[0] * s;
  *slope = q[0];
  for (i = 2; i < CTL_TRAJECTORY; i += 2) {
    const float turned = c * c1 - w * s1;
    const float k = 3.14159265f * (float)i;
    w = w * c1 + c * s1;
    c = turned;
    *value += q[i] * c + q[i + 1] * w;
    *slope += k * (q[i + 1] * c - q[i] * w);
  }
}

/* What is left of an offset and its slope at the share u of the blend, and its slope over u. */
static float blend(float e, float d, float u) {
  const float u2 = u * u;
  const float u3 = u2 * u;
  if (u >= 1.0f) return 0.0f;
  return e * (1.0f - u3 * (10.0f - 15.0f * u + 6.0f * u2)) + d * (u - u3 * (6.0f - 8.0f * u + 3.0f * u2));
}
static float blend_slope(float e, float d, float u) {
  const float u2 = u * u;
  if (u >= 1.0f) return 0.0f;
  return e * -u2 * (30.0f - 60.0f * u + 30.0f * u2) + d * (1.0f - u2 * (18.0f - 32.0f * u + 15.0f * u2));
}

/* Keeps x within 0 and 1 with a continuous slope. */
static float soft(float x, float e) {
  if (x <= -e) return 0.0f;
  if (x >= 1.0f + e) return 1.0f;
  if (x < e) return ((x + e) * (x + e)) / (4.0f * e);
  if (x > 1.0f - e) return 1.0f - ((1.0f + e - x) * (1.0f + e - x)) / (4.0f * e);
  return x;
}
static float soft_slope(float x, float e) {
  if (x <= -e || x >= 1.0f + e) return 0.0f;
  if (x < e) return (x + e) / (2.0f * e);
  if (x > 1.0f - e) return (1.0f + e - x) / (2.0f * e);
  return 1.0f;
}

/* a + w (b - a); the ends themselves where w is 0 or 1. */
static float mix(float a, float b, float w) { return w >= 1.0f ? b : a + w * (b - a); }

static void mix_all(float *to, const float *a, const float *b, float w, int32_t count) {
  int32_t i;
  for (i = 0; i < count; i++) to[i] = mix(a[i], b[i], w);
}

/* The first of the two layers between which a speed lies, and the share of the way to the next; held at the ends. */
static int32_t layer_below(const float *speeds, int32_t first, int32_t end, float speed, float *w) {
  int32_t i = first;
  while (i < end - 2 && speeds[i + 1] <= speed) i++;
  *w = share((speed - speeds[i]) / (speeds[i + 1] - speeds[i]));
  return i;
}

/* The map of a phase, blended where it goes by speed. */
static void take_map(ctl_map *to, int32_t m, float speed) {
  const int32_t first = map_layer_first[m];
  const int32_t end = map_layer_first[m + 1];
  to->sign = map_sign[m];
  if (first == end) {
    to->scale = map_scale[m];
    to->pace_per_s = map_pace_per_s[m];
    to->toe_off = map_toe_off[m];
    to->on_rad = map_on_rad[m];
    to->full_rad = map_full_rad[m];
    to->peak_rad = map_peak_rad[m];
    to->play = map_play[m];
    to->fastest_per_s = map_fastest_per_s[m];
    to->finish_rate_per_s = map_finish_rate_per_s[m];
    to->corner = map_corner[m];
    to->blend = map_blend[m];
    memcpy(to->phase, map_phase[m], sizeof to->phase);
    memcpy(to->bend, map_bend[m], sizeof to->bend);
    memcpy(to->joint_rad[0], map_knee_rad[m], sizeof to->joint_rad[0]);
    memcpy(to->joint_rad[1], map_ankle_rad[m], sizeof to->joint_rad[1]);
    to->torque_fastest_per_s = map_torque_fastest_per_s[m];
    memcpy(to->held_Nm[0], map_knee_held_Nm[m], sizeof to->held_Nm[0]);
    memcpy(to->moved_Nms2[0], map_knee_moved_Nms2[m], sizeof to->moved_Nms2[0]);
    memcpy(to->held_Nm[1], map_ankle_held_Nm[m], sizeof to->held_Nm[1]);
    memcpy(to->moved_Nms2[1], map_ankle_moved_Nms2[m], sizeof to->moved_Nms2[1]);
  } else {
    float w;
    const int32_t i = layer_below(map_layer_speed_m_per_s, first, end, speed, &w);
    to->scale = mix(map_layer_scale[i], map_layer_scale[i + 1], w);
    to->pace_per_s = mix(map_layer_pace_per_s[i], map_layer_pace_per_s[i + 1], w);
    to->toe_off = mix(map_layer_toe_off[i], map_layer_toe_off[i + 1], w);
    to->on_rad = mix(map_layer_on_rad[i], map_layer_on_rad[i + 1], w);
    to->full_rad = mix(map_layer_full_rad[i], map_layer_full_rad[i + 1], w);
    to->peak_rad = mix(map_layer_peak_rad[i], map_layer_peak_rad[i + 1], w);
    to->play = mix(map_layer_play[i], map_layer_play[i + 1], w);
    to->fastest_per_s = mix(map_layer_fastest_per_s[i], map_layer_fastest_per_s[i + 1], w);
    to->finish_rate_per_s = mix(map_layer_finish_rate_per_s[i], map_layer_finish_rate_per_s[i + 1], w);
    to->corner = mix(map_layer_corner[i], map_layer_corner[i + 1], w);
    to->blend = mix(map_layer_blend[i], map_layer_blend[i + 1], w);
    mix_all(to->phase, map_layer_phase[i], map_layer_phase[i + 1], w, CTL_MAP_STEPS + 1);
    mix_all(to->bend, map_layer_bend[i], map_layer_bend[i + 1], w, CTL_MAP_STEPS + 1);
    mix_all(to->joint_rad[0], map_layer_knee_rad[i], map_layer_knee_rad[i + 1], w, CTL_TRAJECTORY);
    mix_all(to->joint_rad[1], map_layer_ankle_rad[i], map_layer_ankle_rad[i + 1], w, CTL_TRAJECTORY);
    to->torque_fastest_per_s = mix(map_layer_torque_fastest_per_s[i], map_layer_torque_fastest_per_s[i + 1], w);
    mix_all(to->held_Nm[0], map_layer_knee_held_Nm[i], map_layer_knee_held_Nm[i + 1], w, CTL_TRAJECTORY);
    mix_all(to->moved_Nms2[0], map_layer_knee_moved_Nms2[i], map_layer_knee_moved_Nms2[i + 1], w, CTL_TRAJECTORY);
    mix_all(to->held_Nm[1], map_layer_ankle_held_Nm[i], map_layer_ankle_held_Nm[i + 1], w, CTL_TRAJECTORY);
    mix_all(to->moved_Nms2[1], map_layer_ankle_moved_Nms2[i], map_layer_ankle_moved_Nms2[i + 1], w, CTL_TRAJECTORY);
  }
}

/* A schedule, blended where it goes by speed. */
static void take_law(ctl_law *to, int32_t k, float speed) {
  const int32_t from = schedule_first[k];
  const int32_t n = schedule_first[k + 1] - from;
  const int32_t first = schedule_layer_first[k];
  const int32_t end = schedule_layer_first[k + 1];
  int32_t i;
  to->points = n;
  for (i = 0; i < n; i++) to->at[i] = schedule_at[from + i];
  if (first == end) {
    for (i = 0; i < n; i++) {
      to->stiffness[i] = schedule_stiffness_Nm_per_rad[from + i];
      to->offset[i] = schedule_offset_Nm[from + i];
      to->damping[i] = schedule_damping_Nms_per_rad[from + i];
    }
  } else {
    float w;
    const int32_t below = layer_below(schedule_layer_speed_m_per_s, first, end, speed, &w);
    const int32_t a = schedule_layer_at[below];
    const int32_t b = schedule_layer_at[below + 1];
    mix_all(to->stiffness, schedule_layer_stiffness_Nm_per_rad + a, schedule_layer_stiffness_Nm_per_rad + b, w, n);
    mix_all(to->offset, schedule_layer_offset_Nm + a, schedule_layer_offset_Nm + b, w, n);
    mix_all(to->damping, schedule_layer_damping_Nms_per_rad + a, schedule_layer_damping_Nms_per_rad + b, w, n);
  }
}

/* Speed and slope are taken up in steps: last digits of a reading would show in every number of a map. */
#define SPEED_STEPS 1024.0f
#define SLOPE_STEPS 4096.0f
static float stepped(float x, float steps) { return floorf(x * steps + 0.5f) / steps; }

/* Map and schedules of a state, at the speed as it is now, the map turned by the slope; a walk begins anew after quiet standing. */
static void take_up(ctl_state *x, int32_t state) {
  float speed;
  float slope;
  int32_t j;
  if (CTL_BY_SPEED != 0 && state == CTL_INITIAL_STATE) {
    x->speed.used_m_per_s = speed_numbers[V_START];
    x->speed.smoothed_rad = 0.0f;
    x->speed.slope_rad = 0.0f;
    x->speed.unread = 0;
    x->speed.slope_status = V_NOT_READ;
  }
  speed = stepped(x->speed.used_m_per_s, SPEED_STEPS);
  slope = stepped(x->speed.slope_rad, SLOPE_STEPS);
  if (state_map[state] >= 0) {
    const float turn = map_sign[state_map[state]] * slope;
    take_map(&x->map, state_map[state], speed);
    x->map.on_rad += turn;
    x->map.full_rad += turn;
    x->map.peak_rad += turn;
    x->map.turned_rad = slope;
  }
  for (j = 0; j < 2; j++)
    if (joint_schedule[2 * state + j] >= 0) take_law(&x->law[j], joint_schedule[2 * state + j], speed);
}

/* Latches the thigh and takes up the pose as a phase begins. */
static void begin_phase(ctl_state *x) {
  const ctl_map *m = &x->map;
  const float thigh = m->sign * x->held[THIGH];
  int32_t j;
  memset(&x->swing, 0, sizeof x->swing);
  x->swing.phase = m->toe_off;
  x->swing.on_rad = thigh;
  for (j = 0; j < 2; j++) {
    const float angle = x->held[KNEE + j];
    float value;
    float slope;
    trajectory_at(m->joint_rad[j], m->toe_off, 0.0f, &value, &slope);
    x->swing.joint_rad[j] = angle;
    x->swing.offset_rad[j] = angle - value;
    x->swing.offset_slope_rad[j] = (x->rate_rad_per_s[j] / m->pace_per_s - slope) * m->blend;
  }
  if (m->peak_rad - thigh < LEAST_THIGH_RANGE_RAD) x->swing.fault = 2;
}

/* Compares the thigh with its map on the level as a swing ends in stance; quiet standing begins anew. */
static void contact_wanders(ctl_state *x, int32_t from, int32_t to) {
  x->lean_rad = NAN;
  if (to == CTL_INITIAL_STATE) x->wanders_rad = 0.0f;
  if (state_map[from] < 0 || state_map[to] < 0) return;
  if (map_sign[state_map[from]] < 0.0f || x->map.sign > 0.0f || x->missing[THIGH] > 0) return;
  x->lean_rad = x->held[THIGH] - (x->map.sign * x->map.on_rad - x->map.turned_rad);
  x->wanders_rad += ONE_CONTACT * (x->lean_rad - x->wanders_rad);
}

static void enter(ctl_state *x, int32_t state) {
  const int32_t from = x->state;
  x->state = state;
  x->dwell = 0;
  memset(x->held_for, 0, sizeof x->held_for);
  x->start_rad[0] = x->held[KNEE];
  x->start_rad[1] = x->held[ANKLE];
  take_up(x, state);
  contact_wanders(x, from, state);
  if (state_map[state] >= 0) begin_phase(x);
}

/* One tick of the phase; 0 where it stays. */
static int phase_tick(ctl_state *x, int readable) {
  const ctl_map *m = &x->map;
  const float thigh = m->sign * x->held[THIGH];
  const float rate = m->sign * x->held[THIGH_RATE];
  const float before = x->swing.phase;
  const float play = m->play;
  const float h = 1.0f / (float)CTL_MAP_STEPS;
  const float most = m->fastest_per_s * period_s;
  float way;
  float r;
  float u;
  float a;
  float b;
  float target;
  float target_low;
  float slope;
  float phase_rate = 0.0f;
  int32_t i;
  if (!readable || x->swing.fault == 2) {
    if (x->swing.fault != 2) x->swing.fault = 1;
    x->swing.rate_per_s = 0.0f;
    return 0;
  }
  x->swing.fault = 0;
  way = m->full_rad - x->swing.on_rad;
  r = (thigh - x->swing.on_rad) / way;
  u = r + play;
  if (x->swing.play < u) u = x->swing.play;
  if (r > u) u = r;
  u = share(u);
  x->swing.play = u;

  i = u >= 1.0f ? CTL_MAP_STEPS - 1 : (int32_t)(u * (float)CTL_MAP_STEPS);
  b = u * (float)CTL_MAP_STEPS - (float)i;
  a = 1.0f - b;
  {
    const float y0 = m->phase[i];
    const float y1 = m->phase[i + 1];
    const float m0 = m->bend[i];
    const float m1 = m->bend[i + 1];
    const float from = b * (y1 - y0) + (((a * a * a - a) * m0 + (b * b * b - b) * m1) * h * h) / 6.0f;
    target = y0 + from;
    target_low = from - (target - y0);
    slope = (y1 - y0) / h + (((3.0f * b * b - 1.0f) * m1 - (3.0f * a * a - 1.0f) * m0) * h) / 6.0f;
  }
  if (u < 1.0f && u > 0.0f && (rate > 0.0f ? u == r : u == r + play)) phase_rate = (slope * rate) / way;

  if (u >= 1.0f && m->finish_rate_per_s > 0.0f) {
    float finish;
    if (x->swing.finishing == 0) {
      x->swing.finishing = 1;
      x->swing.finish_ticks = 0;
      x->swing.finish_start = before;
    } else {
      x->swing.finish_ticks++;
    }
    finish = x->swing.finish_start + (float)x->swing.finish_ticks * (m->finish_rate_per_s * period_s);
    target = soft(finish, m->corner);
    target_low = 0.0f;
    phase_rate = m->finish_rate_per_s * soft_slope(finish, m->corner);
  } else {
    x->swing.finishing = 0;
  }

  if (target > before + most || target < before - most) {
    /* compensated sum: many small steps must not lose their last digits */
    const float step = (target > before ? most : -most) + x->swing.phase_low;
    const float sum = before + step;
    x->swing.phase_low = step - (sum - before);
    x->swing.phase = sum;
    phase_rate = target > before ? m->fastest_per_s : -m->fastest_per_s;
  } else {
    x->swing.phase = target;
    x->swing.phase_low = target_low;
  }
  x->swing.rate_per_s = phase_rate;
  return 1;
}

static void swing_tick(ctl_state *x, int readable) {
  const ctl_map *m = &x->map;
  int32_t j;
  float part;
  float pace;
  if (!phase_tick(x, readable)) {
    x->swing.joint_rate_rad_per_s[0] = 0.0f;
    x->swing.joint_rate_rad_per_s[1] = 0.0f;
    x->swing.torque_Nm[0] = 0.0f;
    x->swing.torque_Nm[1] = 0.0f;
    return;
  }
  part = (x->swing.phase - m->toe_off) / m->blend;
  pace = fminf(fabsf(x->swing.rate_per_s), m->torque_fastest_per_s);
  for (j = 0; j < 2; j++) {
    const float e = x->swing.offset_rad[j];
    const float d = x->swing.offset_slope_rad[j];
    float value;
    float slope;
    trajectory_at(m->joint_rad[j], x->swing.phase, x->swing.phase_low, &value, &slope);
    x->swing.joint_rad[j] = value + blend(e, d, part);
    x->swing.joint_rate_rad_per_s[j] = (slope + blend_slope(e, d, part) / m->blend) * x->swing.rate_per_s;
    trajectory_at(m->held_Nm[j], x->swing.phase, x->swing.phase_low, &value, &slope);
    x->swing.torque_Nm[j] = value;
    trajectory_at(m->moved_Nms2[j], x->swing.phase, x->swing.phase_low, &value, &slope);
    x->swing.torque_Nm[j] += pace * pace * value;
  }
}

static int read_sensor(ctl_state *x, int32_t i, float raw) {
  if (!(fabsf(raw) <= READABLE)) {
    if (x->missing[i] < LONG_AGO) x->missing[i]++;
    return 0;
  }
  x->missing[i] = 0;
  if (x->same[i] >= 0 && raw == x->held[i]) {
    if (x->same[i] < LONG_AGO) x->same[i]++;
  } else {
    x->same[i] = 0;
  }
  x->held[i] = raw;
  return 1;
}

/* Change of an angle over the period, rad/s; 0 where there was or is no number, and for a jump. */
static float read_joint(ctl_state *x, int32_t i, float raw) {
  const float before = x->held[i];
  const int32_t gap = x->missing[i];
  const int known = x->same[i] >= 0;
  const int good = read_sensor(x, i, raw);
  float step = good && known ? x->held[i] - before : 0.0f;
  int32_t w;
  for (w = 0; w < CTL_WATCH_COUNT; w++) {
    int jumped;
    if (watch_kind[w] != IS_JUMP || watch_sensor[w] != i) continue;
    jumped = fabsf(step) > watch_limit[w] * (float)(gap + 1);
    x->watch[w] = jumped;
    if (jumped) step = 0.0f;
  }
  return gap > 0 ? 0.0f : step / period_s;
}

/* By how much the two encoders of a joint differ beyond what its gears may wind up, rad; 0 while either gives no number. */
static float encoders_apart(const ctl_state *x, int32_t second) {
  const int32_t j = second - KNEE_SECOND;
  const int32_t own = KNEE + j;
  float apart;
  if (x->missing[own] > 0 || x->missing[second] > 0) return 0.0f;
  apart = x->held[second] - x->held[own];
  apart -= 6.28318531f * roundf(apart / 6.28318531f);
  return fabsf(apart) - joint_wind_up_rad_per_Nm[j] * x->wound_Nm[j];
}

static int32_t watch_sensors(ctl_state *x) {
  int32_t leads_to = -1;
  int32_t w;
  for (w = 0; w < CTL_WATCH_COUNT; w++) {
    const int32_t i = watch_sensor[w];
    int counts = -1;
    int bad;
    if (watch_kind[w] == IS_MISSING) x->watch[w] = x->missing[i];
    else if (watch_kind[w] == IS_STUCK) x->watch[w] = x->same[i] > 0 ? x->same[i] : 0;
    else if (watch_kind[w] == IS_OUTSIDE) counts = x->held[i] < watch_low[w] || x->held[i] > watch_high[w];
    else if (watch_kind[w] == IS_DISAGREEING) {
      const float apart = i == THIGH_RATE ? fabsf(x->disagrees_rad_per_s) : encoders_apart(x, i);
      counts = apart > watch_limit[w];
    } else if (watch_kind[w] == IS_WANDERING) {
      counts = fabsf(x->wanders_rad) > watch_limit[w];
    }
    if (counts == 0) x->watch[w] = 0;
    else if (counts == 1 && x->watch[w] < LONG_AGO) x->watch[w]++;
    bad = x->watch[w] >= watch_ticks[w];
    if (watch_to[w] == TO_WARNING) {
      x->fired[w] = bad;
      continue;
    }
    if (!bad || x->fired[w] == 1) continue;
    x->fired[w] = 1;
    if (x->fault == 0) x->fault = w + 1;
    if (leads_to < 0) leads_to = watch_to[w] == TO_OWN_SAFE ? state_safe[x->state] : watch_to[w];
  }
  return leads_to;
}

static float signal_of(const ctl_state *x, int32_t which) {
  switch (which) {
    case 0: return x->held[LOAD];
    case 1: return x->held[THIGH];
    case 2: return x->held[THIGH_RATE];
    case 3: return x->held[KNEE];
    case 4: return x->rate_rad_per_s[0];
    case 5: return x->held[ANKLE];
    case 6: return x->phase;
    default: return x->held[RELEASE];
  }
}

static void take_events(ctl_state *x) {
  const int32_t from = x->state;
  int32_t due = -1;
  int32_t j;
  int32_t c;
  int32_t to;
  for (j = transition_first[from]; j < transition_first[from + 1]; j++) {
    int holds = 1;
    for (c = condition_first[j]; c < condition_first[j + 1]; c++) {
      const float value = signal_of(x, condition_signal[c]);
      if (!(value > condition_low[c] && value < condition_high[c])) holds = 0;
    }
    if (!holds) x->held_for[j] = 0;
    else if (x->held_for[j] < LONG_AGO) x->held_for[j]++;
    if (due < 0 && x->held_for[j] >= transition_hold_ticks[j] && x->dwell >= transition_after_ticks[j]) due = j;
  }
  if (due < 0) return;
  to = transition_to[due];
  if (state_safe[from] < 0 && state_safe[to] >= 0) {
    x->fault = 0;
    memset(x->fired, 0, sizeof x->fired);
  }
  enter(x, to);
}

static float scheduled(const ctl_law *law, float place, float angle, float rate) {
  int32_t k = 0;
  float u;
  float K;
  float c;
  float B;
  while (k < law->points - 2 && law->at[k + 1] <= place) k++;
  u = share((place - law->at[k]) / (law->at[k + 1] - law->at[k]));
  K = law->stiffness[k] + u * (law->stiffness[k + 1] - law->stiffness[k]);
  c = law->offset[k] + u * (law->offset[k + 1] - law->offset[k]);
  B = law->damping[k] + u * (law->damping[k + 1] - law->damping[k]);
  return c - K * angle - B * rate;
}

static void joint_command(ctl_state *x, ctl_output *out, int32_t j, float place) {
  const int32_t at = 2 * x->state + j;
  const float *limit = joint_limits + j * L_COUNT;
  const float angle = x->held[KNEE + j];
  const float rate = x->rate_rad_per_s[j];
  const float winding = x->held[KNEE_WINDING + j];
  const float full = limit[L_TORQUE];
  const float upper = full * share((limit[L_TO] - angle) / limit[L_MARGIN]);
  const float lower = -full * share((angle - limit[L_FROM]) / limit[L_MARGIN]);
  const float by_heat = share((limit[L_HOT] - winding) / (limit[L_HOT] - limit[L_WARM]));
  const float returned = limit[L_RETURNED] * share((limit[L_BUS] - x->held[BUS]) / (limit[L_BUS] - limit[L_FADE_BUS]));
  const float copper = joint_copper_W_per_Nm2[j];
  const float speed = fabsf(rate);
  const float before = x->torque_Nm[j];
  float by_speed = 1.0f;
  float command = angle;
  float torque = 0.0f;
  int32_t acts = 0;
  if (joint_does[at] == DOES_SPRING) {
    command = joint_equilibrium_rad[at];
    if (joint_approach_rad_per_tick[at] > 0.0f) {
      const float start = x->start_rad[j];
      const float way = joint_approach_rad_per_tick[at] * (float)x->dwell;
      if (command > start + way) command = start + way;
      else if (command < start - way) command = start - way;
    }
    torque = joint_stiffness_Nm_per_rad[at] * (command - angle) - joint_damping_Nms_per_rad[at] * rate;
  } else if (joint_does[at] == DOES_THIGH) {
    command = x->swing.joint_rad[j];
    torque = joint_stiffness_Nm_per_rad[at] * (command - angle) +
             joint_damping_Nms_per_rad[at] * (x->swing.joint_rate_rad_per_s[j] - rate) +
             joint_carries[at] * x->swing.torque_Nm[j];
  } else if (joint_does[at] == DOES_SCHEDULE) {
    torque = scheduled(&x->law[j], place, angle, rate);
  }

  if (torque > upper) {
    torque = upper;
    acts = 1;
  } else if (torque < lower) {
    torque = lower;
    acts = 1;
  }
  if (torque * rate > 0.0f) by_speed = share((limit[L_SPEED] - fabsf(rate)) / (limit[L_SPEED] - limit[L_FADE_SPEED]));
  if (fabsf(torque) > full * by_speed) {
    torque = (torque > 0.0f ? full : -full) * by_speed;
    acts |= 2;
  }
  if (fabsf(torque) > full * by_heat) {
    torque = (torque > 0.0f ? full : -full) * by_heat;
    acts |= 4;
  }
  if (torque * rate < 0.0f && fabsf(torque) * (speed - copper * fabsf(torque)) > returned) {
    /* never below a hundredth: there the last digit of the speed would decide */
    const float under = fmaxf(0.01f * speed * speed, speed * speed - 4.0f * copper * returned);
    const float most = (2.0f * returned) / (speed + sqrtf(under));
    torque = torque > 0.0f ? most : -most;
    acts |= 16;
  }
  if (torque > before + limit[L_SLEW_STEP]) {
    torque = before + limit[L_SLEW_STEP];
    acts |= 8;
  } else if (torque < before - limit[L_SLEW_STEP]) {
    torque = before - limit[L_SLEW_STEP];
    acts |= 8;
  }
  out->shorted[j] = joint_does[at] == DOES_SHORTED;
  if (out->shorted[j]) torque = 0.0f;
  x->torque_Nm[j] = torque;
  x->wound_Nm[j] = fmaxf(fabsf(torque), joint_unwinds[j] * x->wound_Nm[j]);
  out->torque_Nm[j] = torque;
  out->command_rad[j] = command;
  out->limits[j] = acts;
  out->most_Nm[j] = full * (by_speed < by_heat ? by_speed : by_heat);
}

/* The smaller of two angles to one side. To either side: 0 where one lies within the level, else NaN: they contradict one another. */
static float agreed(float a, float b) {
  const float level = slope_numbers[S_LEVEL];
  if (a * b < 0.0f) return fabsf(a) <= level || fabsf(b) <= level ? 0.0f : NAN;
  return fabsf(a) < fabsf(b) ? a : b;
}

/* What a judged stance makes of the slope that maps go by. */
static void take_slope(ctl_state *x, int walks) {
  ctl_speed *v = &x->speed;
  const float *n = slope_numbers;
  const float read = agreed(v->incline_rad, x->lean_rad);
  float step;
  v->slope_status = v->status;
  if (v->status == V_READ) {
    if (!walks) v->slope_status = S_NO_WALKING;
    else if (!isfinite(read)) v->slope_status = V_NO_NUMBER;
    else if (!(read >= n[S_FROM] && read <= n[S_TO])) v->slope_status = S_BEYOND;
  }
  if (v->slope_status == V_READ) {
    v->unread = 0;
    v->smoothed_rad += n[S_SHARE] * (read - v->smoothed_rad);
  } else {
    if (v->unread < CTL_SLOPE_HOLD) v->unread++;
    if (v->unread < CTL_SLOPE_HOLD) return;
    v->smoothed_rad = 0.0f;
  }
  step = v->smoothed_rad * share(fabsf(v->smoothed_rad) / n[S_LEVEL] - 1.0f) - v->slope_rad;
  v->slope_rad += step > n[S_CHANGE] ? n[S_CHANGE] : (step < -n[S_CHANGE] ? -n[S_CHANGE] : step);
}

/* A stance is over: what it was, and speed and slope moved towards it where the state is one that is paced as stance. */
static void judge_stance(ctl_state *x) {
  ctl_speed *v = &x->speed;
  const int walks = state_map[x->state] >= 0 && map_sign[state_map[x->state]] < 0.0f;
  const float *n = speed_numbers;
  const float speed = v->travel_m / ((float)v->ticks * period_s);
  const float incline =
      v->flat_sum_rad / (float)v->flat_ticks - (n[V_FLAT_PITCH] + n[V_FLAT_PER_SPEED] * (speed - n[V_FLAT_CENTRE]));
  float step;
  if (v->spoilt == 1) v->status = V_NO_NUMBER;
  else if (!((float)v->flat_ticks * period_s >= LEAST_FLAT_S)) v->status = V_NO_FLAT_FOOT;
  else if (!(speed >= n[V_SPEED_FROM] && speed <= n[V_SPEED_TO])) v->status = V_SPEED_OUTSIDE;
  else if (!(incline >= n[V_INCLINE_FROM] && incline <= n[V_INCLINE_TO])) v->status = V_INCLINE_OUTSIDE;
  else {
    v->status = V_READ;
    v->incline_rad = incline;
  }
  if (CTL_SLOPE_HOLD > 0) take_slope(x, walks);
  if (v->status != V_READ || !walks) return;
  step = speed - v->used_m_per_s;
  v->used_m_per_s += step > n[V_CHANGE] ? n[V_CHANGE] : (step < -n[V_CHANGE] ? -n[V_CHANGE] : step);
}

/* A second encoder's angle without whole turns from the first. */
static float nearest_turn(float second, float own) {
  const float turns = roundf((second - own) / 6.28318531f);
  return turns == 0.0f ? second : second - 6.28318531f * turns;
}

/* Angle of a joint behind its gears: by the second encoder, or without one less what the gears wind up under the torque that was asked. */
static float joint_side(const ctl_state *x, int32_t j) {
  const int32_t second = KNEE_SECOND + j;
  if (x->missing[second] > 0 || x->same[second] < 0) return x->held[KNEE + j] - joint_ahead_rad_per_Nm[j] * x->torque_Nm[j];
  return nearest_turn(x->held[second], x->held[KNEE + j]);
}

/* The point of the sole that stands on the ground goes back under the hip as fast as the hip goes forward. */
static void speed_tick(ctl_state *x) {
  ctl_speed *v = &x->speed;
  const float *n = speed_numbers;
  const float load = x->held[LOAD];
  const float knee = joint_side(x, 0);
  const float thigh = x->held[THIGH];
  const float pitch = thigh - knee + joint_side(x, 1);
  const int32_t was = v->was;
  const float before = v->pitch_rad;
  const float ex = cosf(v->incline_rad);
  const float ez = sinf(v->incline_rad);
  const float c = cosf(pitch);
  const float s = sinf(pitch);
  const float ax = n[V_THIGH] * sinf(thigh) + n[V_SHANK] * sinf(thigh - knee);
  const float az = -n[V_THIGH] * cosf(thigh) - n[V_SHANK] * cosf(thigh - knee);
  const int known = x->missing[THIGH] == 0 && x->missing[KNEE] == 0 && x->missing[ANKLE] == 0 &&
                    encoders_apart(x, KNEE_SECOND) <= joint_apart_rad[0] &&
                    encoders_apart(x, ANKLE_SECOND) <= joint_apart_rad[1];
  float low = 0.0f;
  int32_t i;
  if (v->loaded != 0 ? load < n[V_UNLOADED] : load > n[V_LOADED]) v->loaded = v->loaded == 0;
  v->was = v->loaded;
  if (was == 1 && !known && v->spoilt == 0) v->spoilt = 1;
  if (v->loaded == 0) {
    if (was == 1 && v->spoilt != 2) judge_stance(x);
    v->spoilt = 0;
    return;
  }
  if (was != 1) {
    v->spoilt = was != 0 ? 2 : !known;
    v->travel_m = 0.0f;
    v->travel_low_m = 0.0f;
    v->flat_sum_rad = 0.0f;
    v->flat_low_rad = 0.0f;
    v->flat_ticks = 0;
    v->ticks = 0;
    v->pitch_rate_rad_per_s = 0.0f;
  }
  if (!known) return;
  v->pitch_rad = pitch;
  if (was == 1) {
    const float px = ax + sole_points_m[2 * v->point] * c - sole_points_m[2 * v->point + 1] * s;
    const float pz = az + sole_points_m[2 * v->point] * s + sole_points_m[2 * v->point + 1] * c;
    const float step = v->along_m - (px * ex + pz * ez) + v->travel_low_m;
    const float sum = v->travel_m + step;
    v->travel_low_m = step - (sum - v->travel_m);
    v->travel_m = sum;
    v->ticks++;
    v->pitch_rate_rad_per_s +=
        (period_s / (RATE_LAG_S + period_s)) * ((pitch - before) / period_s - v->pitch_rate_rad_per_s);
    if ((float)v->ticks * period_s > LEAST_FLAT_S && fabsf(v->pitch_rate_rad_per_s) < FLAT_RATE_RAD_PER_S) {
      const float more = pitch + v->flat_low_rad;
      const float flat = v->flat_sum_rad + more;
      v->flat_low_rad = more - (flat - v->flat_sum_rad);
      v->flat_sum_rad = flat;
      v->flat_ticks++;
    }
  }
  for (i = 0; i < CTL_SOLE_POINTS; i++) {
    const float px = ax + sole_points_m[2 * i] * c - sole_points_m[2 * i + 1] * s;
    const float pz = az + sole_points_m[2 * i] * s + sole_points_m[2 * i + 1] * c;
    const float height = pz * ex - px * ez;
    if (i == 0 || height < low) {
      low = height;
      v->point = i;
      v->along_m = px * ex + pz * ez;
    }
  }
}

static int32_t speed_status(const ctl_speed *v) {
  if (v->used_m_per_s < speed_numbers[V_SLOWEST]) return V_BELOW;
  if (v->used_m_per_s > speed_numbers[V_FASTEST]) return V_ABOVE;
  return v->status;
}

void ctl_reset(ctl_state *x) {
  int32_t i;
  memset(x, 0, sizeof *x);
  x->state = CTL_INITIAL_STATE;
  x->dwell = LONG_AGO;
  for (i = 0; i < CTL_SENSORS; i++) x->same[i] = -1;
  x->speed.was = -1;
  x->lean_rad = NAN;
  take_up(x, CTL_INITIAL_STATE);
}

void ctl_tick(ctl_state *x, const ctl_input *in, ctl_output *out) {
  const float a = filter_pole;
  float knee;
  float ankle;
  float thigh;
  float place = 0.0f;
  int32_t fired;
  int32_t w;
  if (x->dwell < LONG_AGO) x->dwell++;

  /* read */
  knee = read_joint(x, KNEE, in->knee_rad);
  ankle = read_joint(x, ANKLE, in->ankle_rad);
  x->rate_rad_per_s[0] = a * x->rate_rad_per_s[0] + (1.0f - a) * knee;
  x->rate_rad_per_s[1] = a * x->rate_rad_per_s[1] + (1.0f - a) * ankle;
  thigh = read_joint(x, THIGH, in->thigh_rad);
  (void)read_sensor(x, THIGH_RATE, in->thigh_rate_rad_per_s);
  (void)read_sensor(x, LOAD, in->load_N);
  (void)read_sensor(x, KNEE_WINDING, in->knee_winding_K);
  (void)read_sensor(x, ANKLE_WINDING, in->ankle_winding_K);
  (void)read_sensor(x, BUS, in->bus_V);
  (void)read_sensor(x, ELAPSED, in->elapsed_s);
  (void)read_sensor(x, RELEASE, in->release);
  (void)read_sensor(x, KNEE_SECOND, in->knee_second_rad);
  (void)read_sensor(x, ANKLE_SECOND, in->ankle_second_rad);
  x->disagrees_rad_per_s = a * x->disagrees_rad_per_s + (1.0f - a) * (x->held[THIGH_RATE] - thigh);

  if (CTL_BY_SPEED != 0) speed_tick(x);

  /* plausibility, faults, events */
  fired = watch_sensors(x);
  if (fired >= 0) enter(x, fired);
  else take_events(x);

  /* phase, trajectory */
  if (state_map[x->state] >= 0) {
    const int readable = x->missing[THIGH] == 0 && x->missing[THIGH_RATE] == 0;
    if (joint_does[2 * x->state] == DOES_THIGH || joint_does[2 * x->state + 1] == DOES_THIGH) swing_tick(x, readable);
    else (void)phase_tick(x, readable);
    x->phase = x->swing.phase;
    place = x->swing.phase * x->map.scale;
  }

  /* torque, limits, output */
  out->state = x->state;
  out->phase = x->phase;
  out->fault = x->fault;
  out->warning = 0;
  out->speed_m_per_s = CTL_BY_SPEED != 0 ? x->speed.used_m_per_s : 0.0f;
  out->speed_status = CTL_BY_SPEED != 0 ? speed_status(&x->speed) : 0;
  out->slope_rad = x->speed.slope_rad;
  out->slope_status = x->speed.slope_status;
  for (w = CTL_WATCH_COUNT - 1; w >= 0; w--)
    if (watch_to[w] == TO_WARNING && x->fired[w] == 1) out->warning = w + 1;
  joint_command(x, out, 0, place);
  joint_command(x, out, 1, place);
}

static uint32_t crc_word(uint32_t crc, uint32_t word) {
  int32_t k;
  crc ^= word;
  for (k = 0; k < 32; k++) crc = (crc >> 1) ^ ((crc & 1u) != 0u ? 0xEDB88320u : 0u);
  return crc;
}

uint32_t ctl_checksum(void) {
  uint32_t crc = 0xFFFFFFFFu;
  uint32_t t;
  uint32_t i;
  for (t = 0; t < CTL_TABLES; t++) {
    for (i = 0; i < ctl_tables[t].count; i++) {
      uint32_t word;
      memcpy(&word, (const unsigned char *)ctl_tables[t].words + 4u * i, 4u);
      crc = crc_word(crc, word);
    }
  }
  return crc ^ 0xFFFFFFFFu;
}
