import json

import django.db.models.deletion
from django.db import migrations, models


def name_closers(apps, _schema_editor):  # type: ignore[no-untyped-def]
    """Who closed what is closed already stands in the log."""
    inspections = apps.get_model('inspections', 'Inspection').objects
    closings = apps.get_model('inspections', 'Change').objects.filter(kind='close', is_waiting=False)
    for close in closings.order_by('-position').iterator():
        inspections.filter(
            organisation=close.organisation_id, phone_id=json.loads(close.body)['inspection']
        ).exclude(closed_at=None).update(closed_by=close.author_id)


class Migration(migrations.Migration):

    dependencies = [
        ('inspections', '0002_photo_marks'),
        ('people', '0001_initial'),
    ]

    operations = [
        migrations.AddField(
            model_name='inspection',
            name='closed_by',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='people.member'),
        ),
        migrations.RunPython(name_closers, migrations.RunPython.noop),
    ]
