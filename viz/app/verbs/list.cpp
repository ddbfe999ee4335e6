#include "viz/app/verbs/list.h"

namespace leverwright::app {

using Add = void(App&);

// What a technician needs, in the order of the work.
Add add_new, add_sheet, add_read, add_compare, add_order, add_afterwards;
// The rest.
Add add_try, add_weigh, add_regulate, add_seek, add_map, add_parts, add_keyboard, add_calibrate, add_play,
    add_repeat, add_feel, add_misadjust, add_bands, add_validation, add_report, add_draw, add_film, add_watch,
    add_export, add_check, add_cautions, add_jobs, add_page;

void add_verbs(App& app) {
  for (Add* add : {add_new, add_sheet, add_read, add_compare, add_order, add_afterwards}) add(app);
  for (Verb& verb : app.verbs) verb.daily = true;
  for (Add* add : {add_try,        add_weigh,     add_regulate, add_seek,   add_map,     add_parts,
                   add_keyboard,   add_calibrate, add_play,     add_repeat, add_feel,    add_misadjust,
                   add_bands,      add_report,    add_draw,     add_film,   add_watch,   add_export,
                   add_validation, add_check,     add_jobs,     add_page,   add_cautions})
    add(app);
}

}  // namespace leverwright::app
