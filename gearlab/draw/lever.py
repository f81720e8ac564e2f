draw_lever = None
